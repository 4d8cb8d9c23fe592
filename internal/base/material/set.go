package material

import (
	"maps"
	"slices"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
)

// Set is a collection of records by name: the library, a person's own file, or
// the inline records of a job.
type Set struct {
	Fibres      map[string]Fibre         `yaml:"fibres"`
	Fabrics     map[string]Fabric        `yaml:"fabrics"`
	Resins      map[string]Resin         `yaml:"resins"`
	Plies       map[string]Ply           `yaml:"plies"`
	Cores       map[string]Core          `yaml:"cores"`
	Consumables map[string]Consumable    `yaml:"consumables"`
	Moulds      map[string]MouldMaterial `yaml:"moulds"`
	Fluids      map[string]Fluid         `yaml:"fluids"`
	Fins        map[string]Fins          `yaml:"fins"`
}

// Over returns the records of s with those of top laid over them: a name that
// both have is top's.
func (s Set) Over(top Set) Set {
	return Set{
		Fibres:      over(s.Fibres, top.Fibres),
		Fabrics:     over(s.Fabrics, top.Fabrics),
		Resins:      over(s.Resins, top.Resins),
		Plies:       over(s.Plies, top.Plies),
		Cores:       over(s.Cores, top.Cores),
		Consumables: over(s.Consumables, top.Consumables),
		Moulds:      over(s.Moulds, top.Moulds),
		Fluids:      over(s.Fluids, top.Fluids),
		Fins:        over(s.Fins, top.Fins),
	}
}

func over[T any](below, top map[string]T) map[string]T {
	out := maps.Clone(below)
	if out == nil {
		out = map[string]T{}
	}
	maps.Copy(out, top)
	return out
}

// Pick returns the record called name. The error names the field path, and the
// nearest name there is.
func Pick[T any](records map[string]T, kind, field, name string) (T, error) {
	if r, ok := records[name]; ok {
		return r, nil
	}
	var none T
	if name == "" {
		return none, &fault.Input{Field: field, What: "no " + kind + " is named", Do: "laywright library lists the names"}
	}
	e := &fault.Input{Field: field, What: "no " + kind + " is called " + name, Do: "laywright library lists the names"}
	if near, ok := bind.Nearest(name, slices.Collect(maps.Keys(records))); ok {
		e.Do = "did you mean " + near + "?"
	}
	return none, e
}
