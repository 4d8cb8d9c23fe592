package strength

import (
	"context"
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/shell"
)

// far is a blend worked out with large motions: the wall warms first, then takes
// its load, then the load times the factor of safety. What warms does not grow
// with the factor.
type far struct {
	blend                 int
	warm, limit, ultimate *shell.Moved
	snaps                 float64 // multiple of the load beyond which no state was near; +Inf: none up to the factor
}

// wantsLarge tells whether motions are to be taken as large: as the job says, and
// where it says nothing if the wall moves by more than half its thickness.
func (in *Input) wantsLarge(r *Result) bool {
	if asked := in.Spec.LargeDeflection; asked != nil {
		return *asked
	}
	return float64(r.Deflection) > in.thickness()/2
}

// thickness is that of the layers as they come.
func (in *Input) thickness() (h float64) {
	for _, l := range in.Layers {
		h += float64(l.Thickness)
	}
	return h
}

// large works the cases out again with large motions, and sets up judging by
// them: each in the direction that moves the wall most and in the one that comes
// nearest to breaking it while motions count as small. No direction that counted
// less then is looked at.
func (r *Result) large(ctx context.Context, j *judging, s scan) error {
	var fars []far
	for _, b := range j.picks(s) {
		f := far{blend: b, snaps: math.Inf(1)}
		for i := range fars { // as warm as one before
			if j.heat(b) == j.heat(fars[i].blend) {
				f.warm = fars[i].warm
			}
		}
		if err := f.solve(ctx, j); err != nil {
			return err
		}
		fars = append(fars, f)
	}
	for i := range fars {
		r.noteSnap(j, &fars[i])
	}
	r.Large = true
	linear := r.Deflection
	r.moveFar(j, fars)
	r.noteLarge(j.in, linear)
	j.far(fars)
	return nil
}

// picks are the blends to work out, in their order.
func (j *judging) picks(s scan) []int {
	moves, breaks := make([]int, len(j.in.Cases)), make([]int, len(j.in.Cases))
	most := make([]float64, len(j.in.Cases))
	for c := range most {
		moves[c], breaks[c], most[c] = -1, -1, -1
	}
	for i := range j.blends {
		b := &j.blends[i]
		if _, size := largest(b.moved(&j.unit, false).Move); size > most[b.of] {
			moves[b.of], most[b.of] = i, size
		}
		if at := breaks[b.of]; at < 0 || s.byMix[i] > s.byMix[at] {
			breaks[b.of] = i
		}
	}
	var out []int
	for i := range j.blends {
		if of := j.blends[i].of; moves[of] == i || breaks[of] == i {
			out = append(out, i)
		}
	}
	return out
}

// heat is what a blend warms by before its load grows.
func (j *judging) heat(blend int) shell.Free {
	if b := &j.blends[blend]; b.mechanical() {
		return b.free()
	}
	return shell.Free{}
}

// solve follows a blend from the cold wall to its load times the factor. A wall
// that snaps through on the way ends there.
func (f *far) solve(ctx context.Context, j *judging) error {
	b := &j.blends[f.blend]
	if f.warm == nil {
		p := shell.Push{Load: j.solver.NoLoad()}
		p.Free = j.heat(f.blend)
		warm, err := j.solver.Large(ctx, p, 1)
		f.warm, f.limit, f.ultimate = &warm, &warm, &warm
		if err != nil {
			return f.ends(err, 0)
		}
	}
	if f.warm.Reached < 1 {
		f.limit, f.ultimate, f.snaps = f.warm, f.warm, 0
		return nil
	}
	_, size := largest(b.moved(&j.unit, !b.mechanical()).Move)
	steps := int(math.Ceil(size / (stride * j.in.thickness())))
	limit, err := f.warm.Further(ctx, j.push(b, 1), steps)
	f.limit, f.ultimate = &limit, &limit
	if err != nil {
		return f.ends(err, limit.Reached)
	}
	ultimate, err := limit.Further(ctx, j.push(b, j.in.Factor), 1)
	f.ultimate = &ultimate
	if err != nil {
		return f.ends(err, 1+ultimate.Reached*(j.in.Factor-1))
	}
	return nil
}

// stride is how far the wall is meant to move in a first step of its load, in
// thicknesses by the linear answer; a longer one is halved anyway.
const stride = 4

// ends takes a search that found no state near as the end of what the wall stands.
func (f *far) ends(err error, times float64) error {
	if none := new(fault.NoSolution); !errors.As(err, &none) {
		return err
	}
	f.snaps = times
	return nil
}

// push is a blend's load, times a factor. Where heat alone loads the wall, it grows.
func (j *judging) push(b *blend, times float64) shell.Push {
	p := shell.Push{Load: j.solver.NoLoad(), Follow: si.Pressure(times * b.share[unitPressure])}
	p.Free = b.free()
	if !b.mechanical() {
		p.Free = p.Free.Times(times)
	}
	for u := unitX; u <= unitPush; u++ {
		if b.share[u] == 0 {
			continue
		}
		for v, force := range j.unit[u].load.Force {
			p.Force[v] = r3.Add(p.Force[v], r3.Scale(times*b.share[u], force))
		}
	}
	return p
}

// moveFar reports how far the wall moves under its loads, from where it stands warm.
func (r *Result) moveFar(j *judging, fars []far) {
	r.Deflection = 0
	for i := range r.Cases {
		r.Cases[i].Deflection = 0
	}
	for i := range fars {
		f := &fars[i]
		if f.snaps < 1 {
			continue
		}
		move := make([]r3.Vec, len(f.limit.Move))
		for v := range move {
			move[v] = r3.Sub(f.limit.Move[v], f.warm.Move[v])
		}
		at, size := largest(move)
		c := &r.Cases[j.blends[f.blend].of]
		c.Deflection = max(c.Deflection, si.Length(size))
		if si.Length(size) > r.Deflection {
			r.Deflection, r.Move = si.Length(size), move
			r.DeflectionAt = place(j.in.Mesh.Vertices[at])
		}
	}
}

// far sets up judging by large motions: at the load times the factor, or as far
// as the wall stands. What the warm wall bears is held. The index is divided by how
// many times the load that is, so that
//
//	margin = 1/(index·factor) − 1
//
// is that at the load times the factor.
func (j *judging) far(fars []far) {
	j.columns, j.mixes = nil, nil
	for i := range fars {
		f := &fars[i]
		times := math.Min(j.in.Factor, f.snaps)
		if times == 0 {
			continue
		}
		k := len(j.columns)
		free := j.blends[f.blend].free()
		if !j.blends[f.blend].mechanical() {
			free = free.Times(times)
		}
		j.columns = append(j.columns, column{far: f.warm, free: j.heat(f.blend)}, column{far: f.ultimate, free: free})
		m := mix{blend: f.blend, held: make([]float64, 2*len(fars)), load: make([]float64, 2*len(fars)), times: times}
		m.held[k], m.load[k], m.load[k+1] = 1, -1, 1
		j.mixes = append(j.mixes, m)
	}
	clear(j.share)
}
