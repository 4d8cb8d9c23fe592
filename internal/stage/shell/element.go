package shell

import (
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
	rows := e.localRows()
	for p := range rows {
		for i := range rows[p] {
			rows[p][i] = e.axes.out(&rows[p][i])
		}
	}
	return rows
}

// localRows is the same for the unknowns in the triangle's axes.
func (e *element) localRows() [3][strains]row18 {
	m, b := e.membraneRows(), e.bendingRows()
	var out [3][strains]row18
	for p := range 3 {
		for i := range 3 {
			out[p][i] = m[p][i]
			out[p][3+i] = spreadBending(&b[p].curvature[i])
		}
		for i := range 2 {
			out[p][6+i] = spreadBending(&b[p].shear[i])
		}
	}
	return out
}

// spreadBending puts (w, θx, θy) at each corner among the six unknowns.
func spreadBending(r *row9) (out row18) {
	for c := range 3 {
		out[6*c+2], out[6*c+3], out[6*c+4] = r[3*c], r[3*c+1], r[3*c+2]
	}
	return out
}

// stiffness returns the triangle's stiffness over the unknowns that rows of strain
// are functions of, row by row: the strains' energy at the three middles, a third of
// the area each, which is exact for curvature and shear as they are linear.
func (e *element) stiffness(strain *[3][strains]row18) [18 * 18]float64 {
	var k [18 * 18]float64
	weight := e.area / 3
	for p := range strain {
		rows := &strain[p]
		stress := resultants(&e.section.Wall, rows)
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

// pushed returns what the triangle pushes on its corners with when it is held while
// it would grow freely, with rows of strain as for its stiffness.
func (e *element) pushed(strain *[3][strains]row18, free Free) row18 {
	var f row18
	l := free.resultants(&e.section.Wall)
	for p := range strain {
		rows := &strain[p]
		for i := range 3 {
			for q := range f {
				f[q] += e.area / 3 * (rows[i][q]*l.N[i] + rows[3+i][q]*l.M[i])
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
	var pairs [3][2]row18 // of w, u and v: slopes in x and y
	gx, gy := e.gradients()
	for i := range 3 {
		for c := range 2 {
			pairs[1+c][0][6*i+c], pairs[1+c][1][6*i+c] = gx[i], gy[i]
		}
	}
	for c := 1; c < 3; c++ {
		for axis := range 2 {
			pairs[c][axis] = e.axes.out(&pairs[c][axis])
		}
	}
	for p := range 3 {
		for axis := range 2 {
			slope := bend[p].slope(axis)
			row := spreadBending(&slope)
			pairs[0][axis] = e.axes.out(&row)
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
