package plies

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/bind"
	"laywright/internal/base/material"
	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
	"laywright/internal/base/si"
)

func workOn(t *testing.T, in Input) *work {
	t.Helper()
	w, err := newWork(in)
	if err != nil {
		t.Fatal(err)
	}
	if err := w.place(&Result{}); err != nil {
		t.Fatal(err)
	}
	return w
}

// On a plate yarns run as asked at every angle; yarns laid 5° further are off by
// that all over.
func TestDirectionOfAPlate(t *testing.T) {
	in := Input{Surface: plate(), Plies: stackOf(45, 0, 30, -45)}
	w := workOn(t, in)
	normals := in.Surface.VertexNormals()
	asked := w.asked(normals)
	r := laid(t, in)
	for i, p := range in.Plies {
		for _, more := range []float64{0, 5} {
			o := off(asked, normals, p.Angle-si.Degrees(more), r.Plies[i].Laid)
			d := w.direction(o, p.Fabric, si.Degrees(3))
			near(t, "most off", d.Max.Degrees(), more, 1e-6)
			near(t, "share", d.Share, math.Round(more/10), 1e-9)
			near(t, "sign", o.Warp[0]*180/math.Pi, more, 1e-6)
		}
	}
}

// On a translation surface z = f(x) + h(y) the profiles are the yarns. The x axis
// laid into the surface stands at a right angle to the weft, so that the weft is
// nowhere off, and the warp by the shear:
//
//	sin γ = f'·h'/√((1 + f'²)(1 + h'²))
func TestDirectionOfATranslationSurface(t *testing.T) {
	fx, hy := func(x float64) float64 { return -1.5 * x }, func(y float64) float64 { return 2 * y } // slopes
	m := shapes.Starred(20, 20, func(s, u float64) r3.Vec {
		x, y := 0.4*(s-0.5), 0.3*(u-0.5)
		return r3.Vec{X: x, Y: y, Z: -0.75*x*x + y*y}
	})
	normals := make([]r3.Vec, len(m.Vertices)) // the exact ones
	l := &Laid{Warp: make([]r3.Vec, len(normals)), Weft: make([]r3.Vec, len(normals))}
	for v, p := range m.Vertices {
		f, h := fx(p.X), hy(p.Y)
		normals[v] = r3.Unit(r3.Vec{X: -f, Y: -h, Z: 1})
		l.Warp[v], l.Weft[v] = r3.Unit(r3.Vec{X: 1, Z: f}), r3.Unit(r3.Vec{Y: 1, Z: h})
	}
	w := workOn(t, Input{Surface: m, Plies: stackOf(45, 0)})
	o := off(w.asked(normals), normals, 0, l)
	for v, p := range m.Vertices {
		f, h := fx(p.X), hy(p.Y)
		γ := math.Asin(f * h / math.Sqrt((1+f*f)*(1+h*h)))
		if math.Abs(o.Weft[v]) > 1e-9 || math.Abs(o.Warp[v]-γ) > 1e-9 {
			t.Fatalf("at %v: warp off %.6f, weft %.6f, shear %.6f", p, o.Warp[v], o.Weft[v], γ)
		}
	}
	f := cloth(45)
	both := w.direction(o, f, si.Degrees(3))
	f.Weave = material.Unidirectional
	if one := w.direction(o, f, si.Degrees(3)); one.Max != both.Max || both.Max < si.Degrees(4) {
		t.Errorf("%+v, warp alone %+v", both, one)
	}
	out := Result{}
	out.judgeDirection("Ply 1", "the part", both, si.Degrees(3))
	if !strings.Contains(codes(out), "note fibre-off-angle") || !strings.Contains(out.Findings[0].What, "more than 3°") {
		t.Errorf("%+v", out.Findings)
	}
}

// Where the warp stands square on a wall it is carried over the edge: down the
// wall, as the cloth goes. So it is on a part on which it is square all over.
func TestAskedIsCarriedOver(t *testing.T) {
	step := shapes.Starred(40, 8, func(s, u float64) r3.Vec {
		x := 0.2 * (s - 0.5)
		return r3.Vec{X: min(x, 0), Y: 0.1 * u, Z: -max(x, 0)}
	})
	w := workOn(t, Input{Spec: given(-0.05, 0.05, 0), Surface: step, Plies: stackOf(45, 0)})
	for v, d := range w.asked(step.VertexNormals()) {
		if p := step.Vertices[v]; p.Z < -1e-9 && r3.Norm(r3.Sub(d, r3.Vec{Z: -1})) > 1e-9 {
			t.Fatalf("at %v the warp is asked along %v", p, d)
		}
	}
	// slantwise over the edge, whose vertices lean by 45°: the part along the edge is
	// what it is there, and stays
	askew := r3.Vec{X: 0.9, Y: math.Sqrt(1 - 0.81)}
	edge := r3.Unit(r3.Vec{X: askew.X / 2, Y: askew.Y, Z: -askew.X / 2})
	w = workOn(t, Input{Spec: Spec{Warp: bind.Direction{V: askew}}, Surface: step, Plies: stackOf(45, 0)})
	for v, d := range w.asked(step.VertexNormals()) {
		if p := step.Vertices[v]; p.Z < -1e-9 && r3.Norm(r3.Sub(d, r3.Vec{Y: edge.Y, Z: -math.Sqrt2 * edge.X})) > 1e-9 {
			t.Fatalf("at %v the warp is asked along %v", p, d)
		}
	}
	upright := Input{Spec: Spec{Warp: bind.Direction{V: r3.Vec{Z: 1}}}, Surface: plate(), Plies: stackOf(45, 0)}
	w = workOn(t, upright)
	for _, d := range w.asked(upright.Surface.VertexNormals()) {
		if r3.Norm(r3.Sub(d, r3.Vec{X: 1})) > 1e-9 {
			t.Fatalf("asked along %v", d)
		}
	}
}

// A part that nothing is known of keeps no direction, and no number comes of it.
func TestNoYarnNoMiss(t *testing.T) {
	m := &mesh.Mesh{Vertices: make([]r3.Vec, 2)}
	o := off(make([]r3.Vec, 2), m.Vertices, 0, &Laid{Warp: make([]r3.Vec, 2), Weft: make([]r3.Vec, 2)})
	if o.Warp[0] != 0 || o.Weft[1] != 0 {
		t.Errorf("%+v", o)
	}
}
