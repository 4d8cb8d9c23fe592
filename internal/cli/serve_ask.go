package cli

import (
	"context"
	"errors"
	"strings"

	"laywright/internal/base/material"
	"laywright/internal/httpapi"
)

// asks are the questions as the app asks them.
func asks(library material.Set) httpapi.Asks {
	out := httpapi.Asks{Answer: func(ctx context.Context, name string, told map[string]string) (httpapi.Answer, error) {
		return answered(ctx, name, told, library)
	}}
	for _, q := range questions {
		ask := httpapi.Question{Name: q.name, Asks: q.short, Flags: []httpapi.Flag{}}
		for _, f := range q.flags {
			ask.Flags = append(ask.Flags, httpapi.Flag{Name: f.name, About: f.about, Example: f.example, Usual: f.usual, Needed: f.needed})
		}
		out.Questions = append(out.Questions, ask)
	}
	return out
}

// answered answers a question with the words of the command line. What is wrong is
// told by the names of the fields, which are those of the flags.
func answered(ctx context.Context, name string, told map[string]string, library material.Set) (out httpapi.Answer, err error) {
	for _, q := range questions {
		if q.name != name {
			continue
		}
		if lacks := q.lacking(told); lacks != "" {
			return out, errors.New(lacks)
		}
		system, err := unitsOf("", told)
		if err != nil {
			return out, err
		}
		source, plan, err := q.plan(ctx, told, system, library)
		if err != nil {
			return out, err
		}
		a, err := q.answer(plan)
		if err != nil {
			return out, err
		}
		a.Taken = q.taken(told)
		var screen strings.Builder
		if err := a.Write(&screen); err != nil {
			return out, err
		}
		return httpapi.Answer{Screen: screen.String(), Job: string(source)}, nil
	}
	return out, noQuestion(name)
}
