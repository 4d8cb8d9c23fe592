package shell

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// frame is three axes, or a rotation: where it takes x, y and z.
type frame [3]r3.Vec

func (f *frame) to(v r3.Vec) r3.Vec { // from space into the frame
	return r3.Vec{X: r3.Dot(f[0], v), Y: r3.Dot(f[1], v), Z: r3.Dot(f[2], v)}
}

func (f *frame) from(v r3.Vec) r3.Vec {
	return r3.Add(r3.Add(r3.Scale(v.X, f[0]), r3.Scale(v.Y, f[1])), r3.Scale(v.Z, f[2]))
}

// out turns a list of vectors in the frame, end to end, into space.
func (f *frame) out(r *row18) (out row18) {
	for k := 0; k < 18; k += 3 {
		v := f.from(r3.Vec{X: r[k], Y: r[k+1], Z: r[k+2]})
		out[k], out[k+1], out[k+2] = v.X, v.Y, v.Z
	}
	return out
}

// outBoth puts into out what it makes of the rows and columns of a symmetric matrix,
// block by block.
func (f *frame) outBoth(k, out *[18 * 18]float64) {
	r := [3][3]float64{{f[0].X, f[0].Y, f[0].Z}, {f[1].X, f[1].Y, f[1].Z}, {f[2].X, f[2].Y, f[2].Z}}
	for a := 0; a < 18; a += 3 {
		for b := 0; b <= a; b += 3 {
			var half [3][3]float64
			for i := range 3 {
				row := k[(a+i)*18+b : (a+i)*18+b+3]
				for x := range 3 {
					half[i][x] = row[0]*r[0][x] + row[1]*r[1][x] + row[2]*r[2][x]
				}
			}
			for y := range 3 {
				for x := range 3 {
					v := r[0][y]*half[0][x] + r[1][y]*half[1][x] + r[2][y]*half[2][x]
					out[(a+y)*18+b+x], out[(b+x)*18+a+y] = v, v
				}
			}
		}
	}
}

// spin turns a rotation further by the rotation vector v.
func (f *frame) spin(v r3.Vec) {
	if r := r3.NewRotation(r3.Norm(v), v); v != (r3.Vec{}) {
		*f = frame{r.Rotate(f[0]), r.Rotate(f[1]), r.Rotate(f[2])}
	}
}

// vector returns the rotation vector of a rotation of less than half a turn.
func (f *frame) vector() r3.Vec {
	twice := r3.Vec{X: f[1].Z - f[2].Y, Y: f[2].X - f[0].Z, Z: f[0].Y - f[1].X} // 2·sin·axis
	sin := r3.Norm(twice) / 2
	if sin == 0 {
		return r3.Vec{}
	}
	return r3.Scale(math.Atan2(sin, (f[0].X+f[1].Y+f[2].Z-1)/2)/(2*sin), twice)
}

// follower is a triangle that follows a large motion: its axes go along, and only
// what is left beside them, which is small, strains it.
//
// Source: [felippa2005].
type follower struct {
	e     *element
	k     [18 * 18]float64 // in the triangle's axes
	free  [3]row18         // pushes of the parts of a Free, each of size 1
	start [3]r3.Vec        // corners from their middle, in the axes
}

func (f *follower) set(e *element) {
	rows := e.localRows()
	*f = follower{e: e, k: e.stiffness(&rows), free: [3]row18{e.pushed(&rows, Free{DT: 1}), e.pushed(&rows, Free{Across: 1}), e.pushed(&rows, Free{Ground: 1})}}
	x, y := (e.x[0]+e.x[1]+e.x[2])/3, (e.y[0]+e.y[1]+e.y[2])/3
	for c := range 3 {
		f.start[c] = r3.Vec{X: e.x[c] - x, Y: e.y[c] - y}
	}
}

// pose is a triangle in its moved place: its axes there, the corners from their
// middle in them, and the small motion left beside them.
type pose struct {
	axes frame
	at   [3]r3.Vec
	q    row18
	turn float64 // trace of the stretch in the plane, about 2
}

// pose finds the axes: z the normal of the moved corners, x such that the mean turn
// ½(∂v/∂x − ∂u/∂y) is nought.
func (f *follower) pose(at [3]r3.Vec, turned [3]*frame) pose {
	a, b := r3.Sub(at[1], at[0]), r3.Sub(at[2], at[0])
	var p pose
	p.axes[2] = r3.Unit(r3.Cross(a, b))
	p.axes[0] = r3.Unit(a)
	p.axes[1] = r3.Cross(p.axes[2], p.axes[0])
	gx, gy := f.e.gradients()
	var xx, xy, yx, yy float64
	for c := range 3 {
		v := p.axes.to(at[c])
		xx, xy, yx, yy = xx+v.X*gx[c], xy+v.X*gy[c], yx+v.Y*gx[c], yy+v.Y*gy[c]
	}
	p.turn = math.Hypot(xx+yy, yx-xy)
	cos, sin := (xx+yy)/p.turn, (yx-xy)/p.turn
	x, y := p.axes[0], p.axes[1]
	p.axes[0] = r3.Add(r3.Scale(cos, x), r3.Scale(sin, y))
	p.axes[1] = r3.Sub(r3.Scale(cos, y), r3.Scale(sin, x))
	middle := r3.Scale(1.0/3, r3.Add(at[0], r3.Add(at[1], at[2])))
	for c := range 3 {
		p.at[c] = p.axes.to(r3.Sub(at[c], middle))
		var left frame // turn of the corner beside the axes
		for k := range left {
			left[k] = p.axes.to(turned[c].from(f.e.axes[k]))
		}
		u, t := r3.Sub(p.at[c], f.start[c]), left.vector()
		p.q[6*c], p.q[6*c+1], p.q[6*c+2] = u.X, u.Y, u.Z
		p.q[6*c+3], p.q[6*c+4], p.q[6*c+5] = t.X, t.Y, t.Z
	}
	return p
}

// pushed returns what the triangle pushes on its corners with when it would grow.
func (f *follower) pushed(free Free) (out row18) {
	for k, x := range [3]float64{float64(free.DT), float64(free.Across), free.Ground} {
		addRow(&out, x, &f.free[k])
	}
	return out
}

// forces returns, in the pose's axes, the forces and moments that hold the triangle
// in a pose while it pushes of itself.
func (f *follower) forces(p *pose, own *row18) row18 {
	small := f.small(p, own)
	axes := f.axesTurn(p)
	part := f.beside(p, &axes)
	return leaned(&small, &part)
}

// small are the forces beside the axes.
func (f *follower) small(p *pose, own *row18) (small row18) {
	for i := range 18 {
		small[i] = -own[i]
		for j := range 18 {
			small[i] += f.k[i*18+j] * p.q[j]
		}
	}
	return small
}

// change returns how the forces change with small motions and turns of the corners,
// in the pose's axes and made symmetric.
func (f *follower) change(p *pose, own *row18) (k [18 * 18]float64) {
	small := f.small(p, own)
	axes := f.axesTurn(p)
	part := f.beside(p, &axes)
	force := leaned(&small, &part)
	var stress [18]row18 // k·part
	for i := range 18 {
		for m := range 18 {
			addPart(&stress[i], f.k[i*18+m], &part[m], m)
		}
	}
	for m := range 18 {
		for i := range 18 {
			if x := part[m][i]; x != 0 {
				for j := range i + 1 {
					k[i*18+j] += x * stress[m][j]
				}
			}
		}
	}
	for i := range 18 {
		for j := range i {
			k[j*18+i] = k[i*18+j]
		}
	}
	f.addTurning(&k, &force, &small, &axes, &part)
	for i := range 18 {
		for j := range i {
			mean := (k[i*18+j] + k[j*18+i]) / 2
			k[i*18+j], k[j*18+i] = mean, mean
		}
	}
	return k
}

// addPart adds s times row m of what [follower.beside] returns: it hangs on all
// motions, but on the turn of its own corner only.
func addPart(to *row18, s float64, row *row18, m int) {
	for c := 0; c < 18; c += 6 {
		to[c] += s * row[c]
		to[c+1] += s * row[c+1]
		to[c+2] += s * row[c+2]
	}
	if m%6 >= 3 {
		own := m - m%6 + 3
		to[own] += s * row[own]
		to[own+1] += s * row[own+1]
		to[own+2] += s * row[own+2]
	}
}

// leaned is what forces beside the axes come to at the corners.
func leaned(small *row18, part *[18]row18) (force row18) {
	for i := range 18 {
		addPart(&force, small[i], &part[i], i)
	}
	return force
}

// axesTurn is how the axes turn (x, y, z) with the corners' motion.
func (f *follower) axesTurn(p *pose) (out [3]row18) {
	gx0, gy0 := f.e.gradients()
	a, b := r3.Sub(p.at[1], p.at[0]), r3.Sub(p.at[2], p.at[0])
	double := a.X*b.Y - a.Y*b.X
	for c := range 3 {
		j, k := p.at[(c+1)%3], p.at[(c+2)%3]
		out[0][6*c+2] = (k.X - j.X) / double
		out[1][6*c+2] = -(j.Y - k.Y) / double
		out[2][6*c] = -gy0[c] / p.turn
		out[2][6*c+1] = gx0[c] / p.turn
	}
	return out
}

// beside is how the small motion beside the axes changes with the corners' own.
//
//	δu = δx − δω×p    δθ = H(θ)·(δφ − δω)    δω: turn of the axes
func (f *follower) beside(p *pose, axes *[3]row18) (out [18]row18) {
	for c := range 3 {
		at := p.at[c]
		for i := range 3 {
			out[6*c+i][6*c+i] = 1
			for k := range 3 { // the axes' origin is the corners' middle
				out[6*c+i][6*k+i] -= 1.0 / 3
			}
		}
		addRow(&out[6*c], at.Y, &axes[2])
		addRow(&out[6*c], -at.Z, &axes[1])
		addRow(&out[6*c+1], at.Z, &axes[0])
		addRow(&out[6*c+1], -at.X, &axes[2])
		addRow(&out[6*c+2], at.X, &axes[1])
		addRow(&out[6*c+2], -at.Y, &axes[0])
		h := unwind(r3.Vec{X: p.q[6*c+3], Y: p.q[6*c+4], Z: p.q[6*c+5]})
		for i := range 3 {
			for k := range 3 {
				out[6*c+3+i][6*c+3+k] += h[i][k]
				addRow(&out[6*c+3+i], -h[i][k], &axes[k])
			}
		}
	}
	return out
}

// unwind is H: how a rotation vector changes with a further small turn.
//
//	H = 1 − ½[θ]ₓ + η·[θ]ₓ²    η = (1 − ½θ·cot ½θ)/θ²
func unwind(t r3.Vec) (h [3][3]float64) {
	size := r3.Norm(t)
	eta := 1.0 / 12
	if size > 1e-3 { // the series' next term is below rounding
		eta = (1 - size/2/math.Tan(size/2)) / (size * size)
	}
	skew := [3][3]float64{{0, -t.Z, t.Y}, {t.Z, 0, -t.X}, {-t.Y, t.X, 0}}
	for i := range 3 {
		h[i][i] = 1
		for j := range 3 {
			h[i][j] -= skew[i][j] / 2
			for k := range 3 {
				h[i][j] += eta * skew[i][k] * skew[k][j]
			}
		}
	}
	return h
}

// addTurning adds what the forces do by turning along with the axes.
func (f *follower) addTurning(k *[18 * 18]float64, force, small *row18, axes *[3]row18, part *[18]row18) {
	for block := 0; block < 18; block += 3 {
		n := [3]float64{force[block], force[block+1], force[block+2]}
		s := [3]float64{small[block], small[block+1], small[block+2]}
		for i := range 3 {
			j, m := (i+1)%3, (i+2)%3
			for d := range 18 { // δω×n
				k[(block+i)*18+d] += axes[j][d]*n[m] - axes[m][d]*n[j]
			}
			if block%6 != 0 {
				continue
			}
			for a := range 18 { // the arms of the forces change: s×δu turns the axes
				if x := axes[i][a]; x != 0 {
					for d := range 18 {
						k[a*18+d] += x * (s[j]*part[block+m][d] - s[m]*part[block+j][d])
					}
				}
			}
		}
	}
}
