package plies

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/geom"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/stage/flat"
	"laywright/internal/stage/overlay"
)

// doubled is a ply at 0° with a doubler at an angle over it.
func doubled(angle float64, areas ...Area) []PlyIn {
	stack := stackOf(40, 0, angle)
	for i := range stack {
		stack[i].Thickness, stack[i].Fibre = 0.3e-3, 0.29
	}
	stack[1].Within = areas
	return stack
}

// laidArea is what a ply covers by the walls on the triangles of the whole surface.
func laidArea(m *mesh.Mesh, r Result, ply int) (sum float64) {
	for f, parts := range overlay.Walls(r.Relaid.Cloth) {
		for _, p := range parts {
			for _, b := range p.Bits {
				if b.Ply == ply {
					sum += p.Share * b.Bulk * m.FaceArea(f)
				}
			}
		}
	}
	return sum
}

// On a flat plate the piece of a circle is that circle, and a rectangle with a margin is
// that with round corners; both are cut without allowance, and lie on the triangles with
// the same area. (Exact areas.)
func TestDoublerOnPlate(t *testing.T) {
	ring := geom.Rect(-0.03, -0.02, 0.03, 0.02)
	for _, c := range []struct {
		name string
		area Area
		want float64
	}{
		{"circle", Area{At: r3.Vec{X: 0.031, Y: -0.017}, Radius: 0.03}, math.Pi * 0.03 * 0.03},
		{"small circle", Area{At: r3.Vec{X: 0.031, Y: -0.017}, Radius: 0.004}, math.Pi * 0.004 * 0.004},
		{"rectangle", Area{At: r3.Vec{X: 0.031, Y: -0.017}, Ring: ring}, 0.06 * 0.04},
		{"rectangle with a margin", Area{At: r3.Vec{X: 0.031, Y: -0.017}, Ring: ring, Past: 0.01}, 0.06*0.04 + 0.2*0.01 + math.Pi*0.01*0.01},
	} {
		m := plate()
		r := laid(t, Input{Surface: m, Plies: doubled(30, c.area)})
		if n := len(r.Plies); n != 2 || len(r.Plies[1].Pieces) != 1 || len(r.Plies[1].Within) != 1 {
			t.Fatalf("%s: %d plies, %+v", c.name, n, r.Plies[1].Within)
		}
		p := r.Plies[1].Pieces[0]
		tol := 2e-3*c.want + 4e-5*2*math.Sqrt(math.Pi*c.want) // chords, and how far drawing smooths an outline, m
		near(t, c.name+": area of the piece", float64(p.Area), c.want, 2e-3*c.want)
		near(t, c.name+": area of the outline", flat.Polygon(p.Outline).Area(), c.want, tol)
		near(t, c.name+": area on the triangles", laidArea(m, r, 1), c.want, tol)
		near(t, c.name+": area of the ply below", laidArea(m, r, 0), 0.3*0.2, 1e-6)
		near(t, c.name+": mass on the part", float64(r.Relaid.Mass), 0.29*(0.06+c.want), 0.29*tol)
	}
}

// A doubler's warp runs as that of the ply below would at its angle, on a wall that stands
// steep on plies.warp too; and cloth round a place near an edge does not run down the wall.
func TestDoublerOnBox(t *testing.T) {
	m := box(70 * deg)
	at := r3.Vec{X: 0.12, Z: -math.Tan(70*deg) * 0.02}
	r := laid(t, Input{Surface: m, Plies: doubled(0, Area{At: at, Radius: 0.012}, Area{At: r3.Vec{X: -0.085}, Axis: r3.Vec{Z: 1}, Radius: 0.02})})
	if len(r.Plies[1].Pieces) != 2 {
		t.Fatalf("%d pieces", len(r.Plies[1].Pieces))
	}
	n := r3.Unit(r3.Vec{X: math.Tan(70 * deg), Z: 1})
	asked := r3.Unit(r3.Vec{X: n.Z, Z: -n.X}) // over the edge from the top, where it runs along x
	for i, w := range r.Plies[1].Sheets[0].Warp {
		if d := r3.Dot(w, asked); d < math.Cos(1*deg) {
			t.Fatalf("vertex %d: the warp is %.2f° off", i, math.Acos(d)/deg)
		}
	}
	deep := 0.0
	for _, v := range r.Plies[1].Sheets[1].Top.Mesh.Vertices {
		deep = max(deep, -v.Z)
	}
	if deep > 0.03 {
		t.Errorf("it runs %.0f mm down the wall", 1000*deep)
	}
}

// Places that touch are one piece; those apart have each their own, in the order given.
func TestDoublerPlaces(t *testing.T) {
	r := laid(t, Input{Surface: plate(), Plies: doubled(0, Area{At: r3.Vec{X: 0.1}, Radius: 0.02, What: "at a"}, Area{At: r3.Vec{X: -0.1}, Radius: 0.02, What: "at b"}, Area{At: r3.Vec{X: 0.13}, Radius: 0.02, What: "at c"})})
	w := r.Plies[1].Within
	if len(w) != 2 || w[0].What != "at a and 1 more" || w[1].What != "at b" || w[0].Pieces[0] != "P02A" || w[1].Pieces[0] != "P02B" {
		t.Errorf("%+v", w)
	}
	near(t, "size of two that touch", float64(w[0].Size), 0.07, 2e-4)
	if r.Plies[1].Number != 2 || r.Relaid.Plies[1].Number != 2 || r.ClothArea <= r.Plies[0].Pieces[0].Area {
		t.Error("the doubler is not counted with the others")
	}
}

// The wall grows by the doubler's thickness where it lies, and by nothing elsewhere.
func TestDoublerHeight(t *testing.T) {
	m := shapes.Starred(30, 20, func(s, u float64) r3.Vec { return r3.Vec{X: 0.3 * (s - 0.5), Y: 0.2 * (u - 0.5)} })
	r := laid(t, Input{Surface: m, Plies: doubled(0, Area{Radius: 0.04})})
	for v, p := range m.Vertices {
		d := r3.Norm(p)
		if h := r.Relaid.Stack.Thickness[v]; d < 0.025 {
			near(t, "height within", h, 0.6e-3, 1e-9)
		} else if d > 0.06 {
			near(t, "height beside", h, 0.3e-3, 1e-9)
		}
	}
	near(t, "thickest", float64(r.Relaid.ThicknessMax), 0.6e-3, 1e-9)
	if r.Relaid.LayersMax != 2 {
		t.Errorf("%d layers", r.Relaid.LayersMax)
	}
}
