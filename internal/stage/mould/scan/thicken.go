package scan

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
)

// Thick says how a surface becomes a solid: a shell of a thickness behind it, or
// a plug on a flat base that lies so far below its lowest place seen along Up.
type Thick struct {
	Shell float64 // m
	Base  float64 // m
	Up    r3.Vec  // unit vector; the base stands across it
}

// Solid is a thickened surface.
type Solid struct {
	Mesh   *mesh.Mesh
	Volume float64 // m³
	Folds  []Fold
	Least  float64 // least thickness of a shell, m
	Thin   r3.Vec  // and where that is
}

// Fold is a place where the back of a shell runs through itself.
type Fold struct {
	At    r3.Vec
	Count int // triangles of the back that are turned over or crossed
}

// Thicken makes a closed solid of an open surface: the surface, its image behind
// it, and a wall from rim to rim. Triangles look outwards. In closed forms a plate
// of area A gets A·t, a cylinder of arc φ and length l φ/2·(R² − (R−t)²)·l, the cap of
// a sphere of solid angle Ω gets Ω/3·(R³ − (R−t)³).
//
// A shell's back runs parallel to each triangle of the surface; behind an edge, and
// where the surface bulges tighter than the thickness, it is eased and the shell gets
// thinner; where it still runs through itself, the place is told. A plug needs
// a surface of which no part hangs over another, seen along Up; it is refused
// with the place otherwise.
func Thicken(m *mesh.Mesh, k Thick) (Solid, error) {
	t, err := mesh.NewTopology(m)
	if err != nil {
		return Solid{}, err
	}
	if t.Closed() {
		return Solid{Mesh: m, Volume: m.Volume()}, nil // it is a solid already
	}
	if k.Shell > 0 {
		return shell(t, k.Shell)
	}
	return plug(t, k)
}

// plug moves the image of the surface onto the base plane.
func plug(t *mesh.Topology, k Thick) (Solid, error) {
	m := t.Mesh
	lowest := math.Inf(1)
	for _, tri := range m.Triangles {
		for _, v := range tri {
			lowest = min(lowest, r3.Dot(m.Vertices[v], k.Up))
		}
	}
	const upright = 1e-9 // of a triangle's area: what it may look down by rounding
	var under float64
	worst, least := -1, 0.0
	for f := range m.Triangles {
		a := r3.Dot(m.AreaVector(f), k.Up)
		if a < -upright*m.FaceArea(f) {
			under += m.FaceArea(f)
		}
		if a < least {
			worst, least = f, a
		}
	}
	refuse := func(what string, at r3.Vec) error {
		return &fault.Input{Field: "mould.import.thicken.base", What: what + ", worst at " + place(at) + ", so it can't stand on a flat base along the pull", Do: "write thicken with shell: and a thickness, turn the part, or cut off what hangs over"}
	}
	if under > 0 {
		return Solid{}, refuse(fmt.Sprintf("%.0f cm² of the surface look down", 1e4*under), m.Centroid(worst))
	}
	s := Solid{Mesh: joinedTo(t, func(v int) r3.Vec {
		p := m.Vertices[v]
		return r3.Sub(p, r3.Scale(r3.Dot(p, k.Up)-lowest+k.Base, k.Up))
	})}
	s.Volume = s.Mesh.Volume()
	if found, all := mesh.NewLocator(s.Mesh).Crossings(mostCrossings); len(found) > 0 || !all {
		at := m.Centroid(0)
		if len(found) > 0 {
			at = found[0].At
		}
		return s, refuse("one part of the surface hangs over another", at)
	}
	return s, nil
}

// joinedTo returns the surface, its image turned round, and a wall between them.
func joinedTo(t *mesh.Topology, image func(v int) r3.Vec) *mesh.Mesh {
	m := t.Mesh
	out := m.Clone()
	n := int32(len(m.Vertices))
	for v := range m.Vertices {
		out.Vertices = append(out.Vertices, image(v))
	}
	for _, tri := range m.Triangles {
		out.Triangles = append(out.Triangles, [3]int32{tri[0] + n, tri[2] + n, tri[1] + n})
	}
	for h, twin := range t.Twin {
		if twin < 0 {
			a, b := t.From(h), t.To(h)
			out.Triangles = append(out.Triangles, [3]int32{b, a, a + n}, [3]int32{b, a + n, b + n})
		}
	}
	return out
}
