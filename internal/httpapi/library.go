package httpapi

import (
	"context"
	"maps"
	"slices"

	"github.com/danielgtaylor/huma/v2"
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
}

func (s *server) libraryNames(context.Context, *struct{}) (*namesBody, error) {
	l, out := s.Room.Library, &namesBody{}
	out.Body.Fabrics, out.Body.Resins, out.Body.Cores = keys(l.Fabrics), keys(l.Resins), keys(l.Cores)
	out.Body.Plies, out.Body.Moulds, out.Body.Consumables = keys(l.Plies), keys(l.Moulds), keys(l.Consumables)
	return out, nil
}

func keys[T any](m map[string]T) []string { return some(slices.Sorted(maps.Keys(m))) }
