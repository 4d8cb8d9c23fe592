package httpapi

import (
	"io"
	"io/fs"
	"net/http"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"laywright/internal/desk"
	"laywright/internal/job"
)

// Options are what the server is made of.
type Options struct {
	Room    *desk.Room
	Version string
	Starter string                              // the text of a new job
	Schema  func() ([]byte, error)              // of the job file
	Files   func(plan job.Plan) ([]File, error) // that a plan's folder would hold
	Assets  fs.FS                               // the page; nil: it was not built
	Asks    Asks
	Hosts   []string // names that the server answers to, besides those of this machine
}

// File is one file of a plan's folder.
type File struct {
	Path  string
	Write func(io.Writer) error
}

// server holds what the routes share.
type server struct {
	Options
	files store
}

// mostBody bounds what is sent to the server; meshes come as files in the folder.
const mostBody = 16 << 20

// New returns the handler of everything.
func New(o Options) http.Handler {
	s := &server{Options: o}
	mux := http.NewServeMux()
	s.describe(mux)
	mux.HandleFunc("GET /api/jobs/{id}/events", s.events)
	mux.HandleFunc("GET /api/jobs/{id}/watch", s.watch)
	mux.HandleFunc("GET /api/jobs/{id}/plan.json", s.planJSON)
	mux.HandleFunc("GET /api/jobs/{id}/meshes/{name}", s.mesh)
	mux.HandleFunc("GET /api/jobs/{id}/layers/{name}", s.layer)
	mux.HandleFunc("GET /api/jobs/{id}/pictures/{name}", s.picture)
	mux.HandleFunc("GET /api/jobs/{id}/files/{path...}", s.file)
	mux.HandleFunc("GET /api/schema/job", s.schema)
	mux.HandleFunc("GET /api/", func(w http.ResponseWriter, r *http.Request) {
		fail(w, http.StatusNotFound, "there is nothing at "+r.URL.Path)
	})
	mux.Handle("GET /", pages(o.Assets))
	return guard(o.Hosts, mux)
}

// describe adds the routes that answer in JSON to the mux, with their description.
func (s *server) describe(mux *http.ServeMux) huma.API {
	huma.DefaultArrayNullable = false
	c := huma.DefaultConfig("Laywright", s.Version)
	c.DocsPath, c.SchemasPath, c.CreateHooks = "", "", nil // no page that loads from elsewhere, no links in answers
	c.OpenAPIPath = "/api/openapi"
	api := humago.New(mux, c)
	s.jobRoutes(api)
	s.libraryRoutes(api)
	s.askRoutes(api)
	return api
}

// Describe returns the description of the JSON routes: OpenAPI 3.1.
func Describe(version string) ([]byte, error) {
	s := &server{Options: Options{Version: version}}
	return s.describe(http.NewServeMux()).OpenAPI().MarshalJSON()
}

func (s *server) schema(w http.ResponseWriter, _ *http.Request) {
	text, err := s.Schema()
	if err != nil {
		fail(w, http.StatusInternalServerError, err.Error())
		return
	}
	w.Header().Set("Content-Type", "application/schema+json")
	w.Write(text)
}
