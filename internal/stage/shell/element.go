package shell

import (
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/wall"
)

// row18 is a function of a triangle's unknowns: motion and turn in space of
// corner 0, then 1, then 2.
type row18 = [18]float64

// strains counts the strains of a wall: midplane strain (x, y, xy), curvature (x,
// y, xy) and shear through the wall (x, y).
const strains = 8

// strainRows returns the strains at the three middles of the sides as functions
// of the triangle's unknowns in space.
func (e *element) strainRows() [3][strains]row18 {
	m, b := e.membraneRows(), e.bendingRows()
	var out [3][strains]row18
	for p := range 3 {
		for i := range 3 {
			out[p][i] = e.inSpaceMembrane(m[p][i])
			out[p][3+i] = e.inSpaceBending(b[p].curvature[i])
		}
		for i := range 2 {
			out[p][6+i] = e.inSpaceBending(b[p].shear[i])
		}
	}
	return out
}

func (e *element) inSpaceMembrane(r row9) row18 {
	return e.inSpace(func(c int) (move, turn r3.Vec) {
		move = r3.Add(r3.Scale(r[3*c], e.axes[0]), r3.Scale(r[3*c+1], e.axes[1]))
		return move, r3.Scale(r[3*c+2], e.axes[2])
	})
}

func (e *element) inSpaceBending(r row9) row18 {
	return e.inSpace(func(c int) (move, turn r3.Vec) {
		turn = r3.Add(r3.Scale(r[3*c+1], e.axes[0]), r3.Scale(r[3*c+2], e.axes[1]))
		return r3.Scale(r[3*c], e.axes[2]), turn
	})
}

func (e *element) inSpace(corner func(c int) (move, turn r3.Vec)) row18 {
	var out row18
	for c := range 3 {
		m, t := corner(c)
		out[6*c], out[6*c+1], out[6*c+2] = m.X, m.Y, m.Z
		out[6*c+3], out[6*c+4], out[6*c+5] = t.X, t.Y, t.Z
	}
	return out
}

// stiffness returns the triangle's stiffness over its unknowns in space, row by
// row: the strains' energy at the three middles, a third of the area each, which
// is exact for curvature and shear as they are linear.
func (e *element) stiffness() [18 * 18]float64 {
	var k [18 * 18]float64
	weight := e.area / 3
	for _, rows := range e.strainRows() {
		stress := resultants(&e.section.Wall, &rows)
		for i := range 18 {
			for j := i; j < 18; j++ {
				var s float64
				for q := range strains {
					s += rows[q][i] * stress[q][j]
				}
				k[i*18+j] += weight * s
			}
		}
	}
	mirror(&k)
	return k
}

func mirror(k *[18 * 18]float64) {
	for i := range 18 {
		for j := range i {
			k[i*18+j] = k[j*18+i]
		}
	}
}

// resultants turns rows of strain into rows of force and moment per width.
func resultants(w *wall.Stiffness, rows *[strains]row18) [strains]row18 {
	var out [strains]row18
	for i := range 3 {
		for j := range 3 {
			a, b, d := w.A[i][j], w.B[i][j], w.D[i][j]
			for q := range 18 {
				out[i][q] += a*rows[j][q] + b*rows[3+j][q]
				out[3+i][q] += b*rows[j][q] + d*rows[3+j][q]
			}
		}
	}
	for i := range 2 {
		for q := range 18 {
			out[6+i][q] = w.Shear[i] * rows[6+i][q]
		}
	}
	return out
}

// thermal returns what the triangle pushes on its corners with when it is
// heated by 1 K and held.
func (e *element) thermal() row18 {
	var f row18
	w := &e.section.Wall
	for _, rows := range e.strainRows() {
		for i := range 3 {
			for q := range f {
				f[q] += e.area / 3 * (rows[i][q]*w.NT[i] + rows[3+i][q]*w.MT[i])
			}
		}
	}
	return f
}

// stressStiffness returns the triangle's part of the resistance that membrane
// forces (one set a middle, N/m) give to slopes.
//
//	K = ∫ gᵀ·N·g dA    g: slope of each of the three motions
//
// For the motion across the wall the slope is ∇w = γ − β of the bending part, for
// the motions within it that of the corners.
//
// Source: [timoshenko1961] (energy of membrane forces in bending).
func (e *element) stressStiffness(force [3]wall.Vec) [18 * 18]float64 {
	var k [18 * 18]float64
	bend := e.bendingRows()
	var plane [2][2]row9 // of u and v: slopes in x and y
	for i := range 3 {
		j, m := (i+1)%3, (i+2)%3
		gx, gy := e.dy(j, m)/(2*e.area), e.dx(m, j)/(2*e.area)
		for c := range 2 {
			plane[c][0][3*i+c], plane[c][1][3*i+c] = gx, gy
		}
	}
	for p := range 3 {
		pairs := [3][2]row18{
			{e.inSpaceBending(bend[p].slope(0)), e.inSpaceBending(bend[p].slope(1))},
			{e.inSpaceMembrane(plane[0][0]), e.inSpaceMembrane(plane[0][1])},
			{e.inSpaceMembrane(plane[1][0]), e.inSpaceMembrane(plane[1][1])},
		}
		n := force[p]
		for _, g := range pairs {
			for i := range 18 {
				x := n[0]*g[0][i] + n[2]*g[1][i]
				y := n[2]*g[0][i] + n[1]*g[1][i]
				for j := i; j < 18; j++ {
					k[i*18+j] += e.area / 3 * (x*g[0][j] + y*g[1][j])
				}
			}
		}
	}
	mirror(&k)
	return k
}
