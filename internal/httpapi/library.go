package httpapi

import (
	"context"
	"maps"
	"slices"

	"github.com/danielgtaylor/huma/v2"

	"laywright/internal/doc/draw"
)

type namesBody struct {
	Body struct {
		Fabrics     []string `json:"fabrics"`
		Resins      []string `json:"resins"`
		Cores       []string `json:"cores"`
		Plies       []string `json:"plies"`
		Moulds      []string `json:"moulds"`
		Consumables []string `json:"consumables"`
	}
}

func (s *server) libraryRoutes(api huma.API) {
	huma.Get(api, "/api/library/names", s.libraryNames, named("libraryNames", "What the library holds, by name"))
	huma.Get(api, "/api/look", s.look, named("look", "The colours that pictures are drawn with"))
}

func (s *server) libraryNames(context.Context, *struct{}) (*namesBody, error) {
	l, out := s.Room.Library, &namesBody{}
	out.Body.Fabrics, out.Body.Resins, out.Body.Cores = keys(l.Fabrics), keys(l.Resins), keys(l.Cores)
	out.Body.Plies, out.Body.Moulds, out.Body.Consumables = keys(l.Plies), keys(l.Moulds), keys(l.Consumables)
	return out, nil
}

func keys[T any](m map[string]T) []string { return some(slices.Sorted(maps.Keys(m))) }

type lookBody struct {
	Body struct {
		Map []string `json:"map" doc:"colours of the maps from low to high, in equal steps"`
	}
}

// look tells the page the colours that are drawn with on paper.
func (s *server) look(context.Context, *struct{}) (*lookBody, error) {
	const steps = 64
	out, ramp := &lookBody{}, draw.Sequential()
	for i := range steps {
		out.Body.Map = append(out.Body.Map, ramp.At(float64(i)/(steps-1)).Hex())
	}
	return out, nil
}
