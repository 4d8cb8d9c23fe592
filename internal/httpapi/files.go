package httpapi

import (
	"bytes"
	"encoding/json"
	"fmt"
	"mime"
	"net/http"
	"path"
	"strings"
	"sync"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/curedraw"
	"laywright/internal/doc/cutting"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/dutydraw"
	"laywright/internal/doc/moulddraw"
	"laywright/internal/doc/pattern"
	"laywright/internal/doc/plydraw"
	"laywright/internal/doc/strengthdraw"
	"laywright/internal/doc/svg"
	"laywright/internal/job"
)

// PictureOf names a picture of the plan.
type PictureOf struct {
	Name    string `json:"name"`
	Caption string `json:"caption"`
	Stage   string `json:"stage"`
	Note    string `json:"note"`
}

// FileOf names a file of the plan's folder.
type FileOf struct {
	Path  string `json:"path"`
	Stage string `json:"stage"`
	Label string `json:"label"`
}

// drawnBy lists who draws the pictures of which stage.
var drawnBy = []struct {
	stage    string
	pictures func(job.Plan) []plydraw.Picture
}{
	{"duty", dutydraw.Pictures},
	{"mould", moulddraw.Pictures},
	{"plies", func(p job.Plan) []plydraw.Picture { return plydraw.Open(p).All() }},
	{"strength", strengthdraw.Pictures},
	{"wetout", func(p job.Plan) []plydraw.Picture { return curedraw.Of("wetout", p) }},
	{"bag", func(p job.Plan) []plydraw.Picture { return curedraw.Of("bag", p) }},
	{"cure", func(p job.Plan) []plydraw.Picture { return curedraw.Of("cure", p) }},
	{"roll", rollPictures},
}

// rollPictures draws each roll with what is cut from it.
func rollPictures(p job.Plan) (out []plydraw.Picture) {
	for i, r := range cutting.Rolls(p) {
		out = append(out, plydraw.Drawn(plydraw.Picture{Name: fmt.Sprintf("roll-%d", i+1), Caption: "On the roll, " + p.Roll.Rolls[i].Named(), Aspect: 0.4},
			func(box r2.Box) []draw.Item { return pattern.RollPicture(r, box) }))
	}
	return out
}

func picturesOf(p job.Plan) []PictureOf {
	out := []PictureOf{}
	for _, d := range drawnBy {
		for _, pic := range d.pictures(p) {
			out = append(out, PictureOf{pic.Name, pic.Caption, d.stage, pic.Note})
		}
	}
	return out
}

// picture answers with a picture and its table as SVG, drawn by what draws the PDF.
func (s *server) picture(w http.ResponseWriter, r *http.Request) {
	p, ok := s.planFor(w, r)
	if !ok {
		return
	}
	name := strings.TrimSuffix(r.PathValue("name"), ".svg")
	for _, d := range drawnBy {
		for _, pic := range d.pictures(*p) {
			if pic.Name != name {
				continue
			}
			var out bytes.Buffer
			if err := svg.Write(&out, pic.Page()); err != nil {
				fail(w, http.StatusInternalServerError, err.Error())
				return
			}
			w.Header().Set("Content-Type", "image/svg+xml")
			w.Write(out.Bytes())
			return
		}
	}
	fail(w, http.StatusNotFound, "the plan has no picture called "+name)
}

// filesOf lists what a person takes from a plan, the documents first.
func filesOf(p job.Plan) []FileOf {
	out := []FileOf{
		{"documents/plan.pdf", "", "the plan on paper"},
		{"documents/traveller.pdf", "bench", "the sheet that goes through the shop"},
	}
	add := func(has bool, path, stage, label string) {
		if has {
			out = append(out, FileOf{path, stage, label})
		}
	}
	plies := p.Plies != nil && len(p.Plies.Plies) > 0
	add(plies || p.Roll != nil, "documents/cutting.pdf", "roll", "for cutting by hand")
	add(plies, "documents/labels.pdf", "roll", "labels for the pieces")
	add(p.Mould != nil && p.Mould.Build != nil, "documents/mould.pdf", "mould", "how to build the mould")
	add(p.Mould != nil && p.Mould.Surface != nil, "meshes/mould.stl", "mould", "the mould's face for a machine")
	if plies {
		for _, ply := range p.Plies.Plies {
			for _, piece := range ply.AllPieces() {
				for _, kind := range []string{"pdf", "dxf", "svg"} {
					out = append(out, FileOf{"patterns/" + piece.Name + "." + kind, "plies", piece.Name + ", full size"})
				}
			}
		}
	}
	return out
}

// store keeps the files of the plan asked for last.
type store struct {
	mu    sync.Mutex
	plan  *job.Plan
	files []File
}

func (s *store) of(p *job.Plan, make func(job.Plan) ([]File, error)) ([]File, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.plan == p {
		return s.files, nil
	}
	files, err := make(*p)
	if err == nil {
		s.plan, s.files = p, files
	}
	return files, err
}

// file answers with a file of the plan's folder.
func (s *server) file(w http.ResponseWriter, r *http.Request) {
	p, ok := s.planFor(w, r)
	if !ok {
		return
	}
	files, err := s.files.of(p, s.Files)
	if err != nil {
		fail(w, http.StatusInternalServerError, err.Error())
		return
	}
	want := path.Clean(r.PathValue("path"))
	for _, f := range files {
		if f.Path != want {
			continue
		}
		var out bytes.Buffer
		if err := f.Write(&out); err != nil {
			fail(w, http.StatusInternalServerError, err.Error())
			return
		}
		kind := mime.TypeByExtension(path.Ext(want))
		if kind == "" {
			kind = "application/octet-stream"
		}
		w.Header().Set("Content-Type", kind)
		w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", path.Base(want)))
		w.Write(out.Bytes())
		return
	}
	fail(w, http.StatusNotFound, "the plan has no file "+want)
}

func (s *server) planJSON(w http.ResponseWriter, r *http.Request) {
	p, ok := s.planFor(w, r)
	if !ok {
		return
	}
	text, err := json.Marshal(p)
	if err != nil {
		fail(w, http.StatusInternalServerError, err.Error())
		return
	}
	w.Header().Set("Content-Type", "application/json")
	w.Write(text)
}

// planFor returns the plan of the job that a request names, or answers with why there
// is none. What belongs to a version never changes: the browser may keep it.
func (s *server) planFor(w http.ResponseWriter, r *http.Request) (*job.Plan, bool) {
	made, err := s.made(r.PathValue("id"))
	if err == nil && made.Plan == nil {
		err = errNoPlan
	}
	if err != nil {
		refuse(w, err)
		return nil, false
	}
	cache := "no-store"
	if version := r.URL.Query().Get("version"); version != "" {
		if version != made.Version {
			fail(w, http.StatusConflict, "the job has another version by now")
			return nil, false
		}
		cache = "private, max-age=3600, immutable"
	}
	w.Header().Set("Cache-Control", cache)
	return made.Plan, true
}
