package scan

import (
	"context"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/sparse"
)

// fair gives the inner vertices of a patch the places where the patch bends least
// beside the ball that its surroundings lie on, going over into these without a
// kink. With u what a vertex stands off the ball, it makes least
//
//	E = Σ |L u|²/A      (L u)ᵢ = ½ Σ (cot α + cot β)·(uⱼ − uᵢ)
//
// over the inner vertices and those of the rim, u held at the rim and beyond;
// A is a vertex's share of the area. It is the energy of a thin plate: on a plane
// its fourth derivatives vanish, ΔΔu = 0. A hole in a sphere or a plane is filled
// without error; elsewhere the error grows with the fourth power of the width.
//
// Source: [pinkall1993] for the cotangents; to take the plate beside a ball is ours.
func (p *patch) fair(t *mesh.Topology, b ball) error {
	u, err := newPlate(p, t, b).solve()
	if err != nil {
		return &fault.Input{Field: "mould.import.fill", What: fmt.Sprintf("what lies round the hole at %s is too broken to fill it smoothly", place(t.Mesh.Vertices[p.rim[0]])), Do: "fill up to a smaller width, or mend it where it was drawn"}
	}
	for i := range u {
		v := len(p.rim) + i
		p.m.Vertices[v] = r3.Add(p.m.Vertices[v], u[i])
	}
	for i, v := range p.rim {
		p.m.Vertices[i] = t.Mesh.Vertices[v]
	}
	return nil
}

// plate is a patch with the ring of triangles round it, all on the ball. Vertices
// are those of the patch, then the others.
type plate struct {
	at    []r3.Vec
	u     []r3.Vec // off the ball; 0 where it is sought
	tri   [][3]int32
	inner [2]int32 // first vertex sought, and one past the last
	rows  int32    // vertices at which the bend counts come first
}

func newPlate(p *patch, t *mesh.Topology, b ball) *plate {
	n, rim := len(p.m.Vertices), len(p.rim)
	f := &plate{at: slices.Clone(p.m.Vertices), tri: slices.Clone(p.m.Triangles), inner: [2]int32{int32(rim), int32(n)}, rows: int32(n)}
	number := map[int32]int32{}
	for i, v := range p.rim {
		number[v] = int32(i)
	}
	seen := map[int32]bool{}
	for _, v := range p.rim {
		for _, g := range t.VertexFaces(int(v)) {
			if seen[g] {
				continue
			}
			seen[g] = true
			var tri [3]int32
			for k, w := range t.Mesh.Triangles[g] {
				i, known := number[w]
				if !known {
					i = int32(len(f.at))
					number[w] = i
					f.at = append(f.at, t.Mesh.Vertices[w])
				}
				tri[k] = i
			}
			f.tri = append(f.tri, tri)
		}
	}
	f.u = make([]r3.Vec, len(f.at))
	for i, v := range p.rim {
		f.u[i] = r3.Sub(t.Mesh.Vertices[v], f.at[i])
	}
	for v := f.inner[1]; int(v) < len(f.at); v++ {
		x := f.at[v]
		f.at[v] = b.near(x)
		f.u[v] = r3.Sub(x, f.at[v])
	}
	return f
}

// solve returns u at the inner vertices.
func (f *plate) solve() ([]r3.Vec, error) {
	rows, areas := laplace(f.at, f.tri)
	n := int(f.inner[1] - f.inner[0])
	if n == 0 {
		return nil, nil
	}
	unknown := func(v int32) int32 {
		if v < f.inner[0] || v >= f.inner[1] {
			return -1
		}
		return v - f.inner[0]
	}
	var cliques [][3]int32
	for _, row := range rows[:f.rows] {
		for i, a := range row {
			for _, b := range row[i+1:] {
				if x, y := unknown(a.at), unknown(b.at); x >= 0 && y >= 0 {
					cliques = append(cliques, [3]int32{x, y, y})
				}
			}
		}
	}
	one := make([]int, n)
	for i := range one {
		one[i] = 1
	}
	k := sparse.New(one, cliques)
	right := [3][]float64{make([]float64, n), make([]float64, n), make([]float64, n)}
	for v, row := range rows[:f.rows] {
		f.addRow(k, &right, row, unknown, 1/math.Max(areas[v], math.SmallestNonzeroFloat32))
	}
	solver, err := sparse.Factor(context.Background(), k, f.at[f.inner[0]:f.inner[1]])
	if err != nil {
		return nil, err
	}
	u := make([]r3.Vec, n)
	x, y, z := solver.Solve(right[0]), solver.Solve(right[1]), solver.Solve(right[2])
	for i := range u {
		u[i] = r3.Vec{X: x[i], Y: y[i], Z: z[i]}
	}
	return u, nil
}

// addRow adds the square of one row of L, times c.
func (f *plate) addRow(k *sparse.Matrix, right *[3][]float64, row []weight, unknown func(int32) int32, c float64) {
	index := make([]int32, len(row))
	square := make([]float64, len(row)*len(row))
	var held r3.Vec
	for i, a := range row {
		if index[i] = unknown(a.at); index[i] < 0 {
			held = r3.Add(held, r3.Scale(a.w, f.u[a.at]))
		}
		for j, b := range row {
			square[i*len(row)+j] = c * a.w * b.w
		}
	}
	k.Add(index, square)
	for i, a := range row {
		if x := index[i]; x >= 0 {
			right[0][x] -= c * a.w * held.X
			right[1][x] -= c * a.w * held.Y
			right[2][x] -= c * a.w * held.Z
		}
	}
}
