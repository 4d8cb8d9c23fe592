package joint

import (
	"maps"
	"slices"

	"laywright/internal/base/si"
)

// Ground is what a part is fastened to.
type Ground struct {
	Expansion si.Expansion
	E         si.Pressure
}

// grounds are the usual ones. Metals: [mil-hdbk-5], between room temperature and 100
// °C, rounded. Plywood: [wood-handbook], along the sheet, middle of the range. The
// laminates are of woven cloth laid by hand. Acrylic: typical. The last four are
// from memory.
var grounds = map[string]Ground{
	"aluminium":       {23e-6, 71e9},
	"steel":           {12e-6, 205e9},
	"stainless-steel": {17e-6, 193e9},
	"titanium":        {9e-6, 110e9},
	"plywood":         {6e-6, 8e9},
	"glass-laminate":  {14e-6, 18e9},
	"carbon-laminate": {4e-6, 48e9},
	"acrylic":         {70e-6, 3e9},
}

// GroundOf returns what a part is fastened to by its name.
func GroundOf(name string) (Ground, bool) {
	g, ok := grounds[name]
	return g, ok
}

// GroundNames lists the names.
func GroundNames() []string { return slices.Sorted(maps.Keys(grounds)) }
