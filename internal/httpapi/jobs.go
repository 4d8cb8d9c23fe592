package httpapi

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"laywright/internal/desk"
)

// ByID names a job in a path.
type ByID struct {
	ID string `path:"id" maxLength:"300" doc:"path of the job within the folder, a tilde for each slash"`
}

type stateBody struct{ Body desk.State }

func stateOf(s desk.State, err error) (*stateBody, error) {
	if err != nil {
		return nil, refused(err)
	}
	return &stateBody{s}, nil
}

// jobRoutes are those of the folder and of a job's text.
func (s *server) jobRoutes(api huma.API) {
	huma.Get(api, "/api/jobs", s.listJobs, named("listJobs", "The jobs of the folder"))
	huma.Post(api, "/api/jobs", s.createJob, named("createJob", "Write a new job, never over another"))
	huma.Get(api, "/api/jobs/{id}", s.openJob, named("openJob", "A job as it stands"))
	huma.Post(api, "/api/jobs/{id}/edit", s.editJob, named("editJob", "Change values of a job, all or none"))
	huma.Put(api, "/api/jobs/{id}/text", s.replaceJob, named("replaceText", "Put a whole text in the place of the job's"))
	huma.Post(api, "/api/jobs/{id}/undo", s.shift((*desk.Desk).Undo), named("undo", "Take the last change back"))
	huma.Post(api, "/api/jobs/{id}/redo", s.shift((*desk.Desk).Redo), named("redo", "Do again what was undone last"))
	huma.Get(api, "/api/jobs/{id}/view", s.viewJob, named("viewPlan", "What the last plan of a job says"))
}

func named(id, summary string) func(*huma.Operation) {
	return func(o *huma.Operation) {
		o.OperationID, o.Summary, o.MaxBodyBytes = id, summary, mostBody
		o.Errors = []int{http.StatusNotFound, http.StatusConflict, http.StatusUnprocessableEntity}
	}
}

type jobsBody struct {
	Body struct {
		Folder  string       `json:"folder"`
		Version string       `json:"version" doc:"of the program"`
		Jobs    []desk.Entry `json:"jobs"`
	}
}

func (s *server) listJobs(context.Context, *struct{}) (*jobsBody, error) {
	jobs, err := s.Room.Jobs()
	if err != nil {
		return nil, refused(err)
	}
	out := &jobsBody{}
	out.Body.Folder, out.Body.Version, out.Body.Jobs = s.Room.Dir, s.Version, jobs
	return out, nil
}

type newJob struct {
	Body struct {
		ID   string `json:"id" minLength:"1" maxLength:"200" doc:"its name, or a path with tildes"`
		Text string `json:"text,omitempty" doc:"the whole text; without it a job with remarks is written"`
	}
}

func (s *server) createJob(_ context.Context, in *newJob) (*stateBody, error) {
	text := in.Body.Text
	if text == "" {
		text = s.Starter
	}
	d, err := s.Room.Create(in.Body.ID, text)
	if err != nil {
		return nil, refused(err)
	}
	return stateOf(d.State())
}

func (s *server) openJob(_ context.Context, in *ByID) (*stateBody, error) {
	d, err := s.Room.Open(in.ID)
	if err != nil {
		return nil, refused(err)
	}
	return stateOf(d.State())
}

type edits struct {
	ByID
	Body struct {
		Version string      `json:"version" doc:"of the text that the change was made for"`
		Edits   []desk.Edit `json:"edits" maxItems:"1000"`
	}
}

func (s *server) editJob(_ context.Context, in *edits) (*stateBody, error) {
	d, err := s.Room.Open(in.ID)
	if err != nil {
		return nil, refused(err)
	}
	return stateOf(d.Edit(in.Body.Version, in.Body.Edits))
}

type wholeText struct {
	ByID
	Body struct {
		Version string `json:"version"`
		Text    string `json:"text"`
	}
}

func (s *server) replaceJob(_ context.Context, in *wholeText) (*stateBody, error) {
	d, err := s.Room.Open(in.ID)
	if err != nil {
		return nil, refused(err)
	}
	return stateOf(d.Replace(in.Body.Version, in.Body.Text))
}

type ofVersion struct {
	ByID
	Body struct {
		Version string `json:"version"`
	}
}

func (s *server) shift(do func(*desk.Desk, string) (desk.State, error)) func(context.Context, *ofVersion) (*stateBody, error) {
	return func(_ context.Context, in *ofVersion) (*stateBody, error) {
		d, err := s.Room.Open(in.ID)
		if err != nil {
			return nil, refused(err)
		}
		return stateOf(do(d, in.Body.Version))
	}
}

type viewBody struct{ Body View }

func (s *server) viewJob(_ context.Context, in *ByID) (*viewBody, error) {
	made, err := s.made(in.ID)
	if err != nil {
		return nil, refused(err)
	}
	return &viewBody{viewOf(made)}, nil
}

// made is the last plan of a job.
func (s *server) made(id string) (*desk.Made, error) {
	d, err := s.Room.Open(id)
	if err != nil {
		return nil, err
	}
	if made := d.Made(); made != nil {
		return made, nil
	}
	return nil, errNoPlan
}
