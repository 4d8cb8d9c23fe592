package httpapi

import (
	"context"

	"github.com/danielgtaylor/huma/v2"
)

// Asks are the questions that are answered without a job.
type Asks struct {
	Questions []Question
	Answer    func(ctx context.Context, name string, told map[string]string) (Answer, error)
}

// Question is one of them with what it can be told.
type Question struct {
	Name  string `json:"name"`
	Asks  string `json:"asks"`
	Flags []Flag `json:"flags"`
}

// Flag is a value that a person tells, with its unit.
type Flag struct {
	Name    string `json:"name"`
	About   string `json:"about"`
	Example string `json:"example"`
	Usual   string `json:"usual" doc:"taken where nothing is told; empty: nothing is"`
	Needed  bool   `json:"needed"`
}

// Answer is one screen of text, and the small job that it is the plan of.
type Answer struct {
	Screen string `json:"screen"`
	Job    string `json:"job"`
}

func (s *server) askRoutes(api huma.API) {
	huma.Get(api, "/api/questions", s.questions, named("questions", "What is answered without a job"))
	huma.Post(api, "/api/questions/{name}", s.ask, named("ask", "Answer one question"))
}

type questionsBody struct{ Body []Question }

func (s *server) questions(context.Context, *struct{}) (*questionsBody, error) {
	return &questionsBody{some(s.Asks.Questions)}, nil
}

type asking struct {
	Name string `path:"name" maxLength:"40"`
	Body struct {
		Told map[string]string `json:"told" doc:"values by their flags, each with its unit"`
	}
}

type answerBody struct{ Body Answer }

func (s *server) ask(ctx context.Context, in *asking) (*answerBody, error) {
	a, err := s.Asks.Answer(ctx, in.Name, in.Body.Told)
	if err != nil {
		return nil, refused(err)
	}
	return &answerBody{a}, nil
}
