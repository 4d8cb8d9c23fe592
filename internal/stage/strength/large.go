package strength

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

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
	through               bool         // to the load times the factor
	near                  *shell.Moved // a state to start from on the way to the load; nil: warm
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

// thickness is that of the layers as they come, without doublers.
func (in *Input) thickness() (h float64) {
	for i, share := range in.laidBetween() {
		h += share * float64(in.Layers[i].Thickness)
	}
	return h
}

// large works the cases out again with large motions that move the wall by more than
// a quarter of its thickness: below, small motions are off by some hundredths. Each
// case is followed in the direction that moves the wall most and in the one that comes
// nearest to breaking it while motions count as small; no direction that counted less
// then is looked at. All go as far as the load; the one nearest to breaking goes on to
// the load times the factor, and where the wall might buckle on the way, all do.
func (r *Result) large(ctx context.Context, j *judging, s scan) (scan, error) {
	picks := j.picks(s)
	if len(picks) == 0 {
		return s, nil
	}
	worst := slices.MaxFunc(picks, func(a, b int) int { return cmp.Compare(s.byMix[a], s.byMix[b]) })
	risky := r.Buckling != nil && *r.Buckling < wary*r.Factor
	var fars []far
	for _, b := range picks {
		f := far{blend: b, through: risky || b == worst, snaps: math.Inf(1)}
		for i := range fars { // as warm as one before, or under more of the same
			if j.heat(b) == j.heat(fars[i].blend) {
				f.warm = fars[i].warm
				if fars[i].snaps > 1 && j.blends[b].share[unitPressure]*j.blends[fars[i].blend].share[unitPressure] > 0 {
					f.near = fars[i].limit
				}
			}
		}
		if err := f.solve(ctx, j); err != nil {
			return s, err
		}
		fars = append(fars, f)
	}
	small := j.mixes
	for {
		j.far(fars, small)
		s = j.run()
		f := j.governs(s, fars)
		if f == nil || f.through || !math.IsInf(f.snaps, 1) {
			break
		}
		f.through = true
		if err := f.grow(ctx, j); err != nil {
			return s, err
		}
	}
	for i := range fars {
		r.noteSnap(j, &fars[i])
	}
	r.Large = true
	linear := r.Deflection
	r.moveFar(j, fars)
	r.noteLarge(j.in, linear)
	return s, nil
}

// governs is what was followed and comes nearest to breaking; nil where that is a
// case that was not.
func (j *judging) governs(s scan, fars []far) *far {
	first := 0
	for m, x := range s.byMix {
		if x > s.byMix[first] {
			first = m
		}
	}
	for i := range fars {
		if len(j.mixes) > 0 && fars[i].blend == j.mixes[first].blend {
			return &fars[i]
		}
	}
	return nil
}

// wary is how many times the factor the linear buckling factor is below which a wall
// might buckle sooner than that, dents and large motions counted.
const wary = 2

// picks are the blends to work out, in their order.
func (j *judging) picks(s scan) (out []int) {
	type inCase struct {
		moves, breaks int
		most          float64
	}
	cases := make([]inCase, len(j.in.Cases))
	for c := range cases {
		cases[c] = inCase{-1, -1, -1}
	}
	for i := range j.blends {
		b := &j.blends[i]
		c := &cases[b.of]
		if _, size := largest(b.moved(&j.unit, !b.mechanical()).Move); size > c.most {
			c.moves, c.most = i, size
		}
		if c.breaks < 0 || s.byMix[i] > s.byMix[c.breaks] {
			c.breaks = i
		}
	}
	asked := j.in.Spec.LargeDeflection != nil
	for i := range j.blends {
		c := &cases[j.blends[i].of]
		if (c.moves == i || c.breaks == i) && (asked || c.most > j.in.thickness()/4) {
			out = append(out, i)
		}
	}
	return out
}

// heat is what a blend warms by before its load grows.
func (j *judging) heat(blend int) (none shell.Free) {
	if b := &j.blends[blend]; b.mechanical() {
		return b.free()
	}
	return none
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
	start, steps := f.near, 1
	if start == nil {
		_, size := largest(b.moved(&j.unit, !b.mechanical()).Move)
		start, steps = f.warm, int(math.Ceil(size/(stride*j.in.thickness())))
	}
	limit, err := start.Further(ctx, j.push(b, 1), steps)
	if none := new(fault.NoSolution); f.near != nil && errors.As(err, &none) { // how far it stands counts from no load
		f.near = nil
		return f.solve(ctx, j)
	}
	f.limit, f.ultimate = &limit, &limit
	if err != nil || !f.through {
		return f.ends(err, limit.Reached)
	}
	return f.grow(ctx, j)
}

// grow follows a blend from its load to the load times the factor.
func (f *far) grow(ctx context.Context, j *judging) error {
	ultimate, err := f.limit.Further(ctx, j.push(&j.blends[f.blend], j.in.Factor), 1)
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
	if err == nil {
		return nil
	}
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

// moveFar reports how far the wall moves under its loads, from where it stands warm;
// a case that is not worked out with large motions, or snaps on the way, keeps its
// small ones.
func (r *Result) moveFar(j *judging, fars []far) {
	moves := make([][]r3.Vec, len(r.Cases))
	for i := range fars {
		f := &fars[i]
		if f.snaps < 1 {
			continue
		}
		move := make([]r3.Vec, len(f.limit.Move))
		for v := range move {
			move[v] = r3.Sub(f.limit.Move[v], f.warm.Move[v])
		}
		of := j.blends[f.blend].of
		if _, size := largest(move); moves[of] == nil || si.Length(size) > r.Cases[of].Deflection {
			moves[of], r.Cases[of].Deflection = move, si.Length(size)
		}
	}
	for i := range j.blends {
		b := &j.blends[i]
		small := b.moved(&j.unit, false).Move
		if _, size := largest(small); moves[b.of] == nil && si.Length(size) == r.Cases[b.of].Deflection {
			moves[b.of] = small
		}
	}
	r.Deflection = 0
	for i, c := range r.Cases {
		if c.Deflection > r.Deflection {
			r.Deflection, r.Move = c.Deflection, moves[i]
		}
	}
	if at, size := largest(r.Move); size > 0 {
		r.DeflectionAt = place(j.in.Mesh.Vertices[at])
	}
}

// far sets up judging of the cases that were followed: at the load times the factor,
// at the load, or as far as the wall stands. What the warm wall bears is held. The
// index is divided by how many times the load that is, so that
//
//	margin = 1/(index·factor) − 1
//
// is that at the load times the factor.
func (j *judging) far(fars []far, small []mix) {
	j.columns = slices.DeleteFunc(j.columns, func(c column) bool { return c.far != nil })
	followed := make([]bool, len(j.in.Cases))
	var mixes []mix
	for i := range fars {
		f := &fars[i]
		times := math.Min(j.in.Factor, f.snaps)
		if !f.through {
			times = math.Min(1, f.snaps)
		}
		if times == 0 {
			continue
		}
		b := &j.blends[f.blend]
		followed[b.of] = true
		free := b.free()
		warm := free
		if !b.mechanical() {
			free, warm = free.Times(times), shell.Free{}
		}
		k := len(j.columns)
		j.columns = append(j.columns, column{far: f.warm, free: warm}, column{far: f.ultimate, free: free})
		m := mix{blend: f.blend, held: make([]float64, k+2), load: make([]float64, k+2), times: times}
		m.held[k], m.load[k], m.load[k+1] = 1, -1, 1
		mixes = append(mixes, m)
	}
	for _, m := range small {
		if !followed[j.blends[m.blend].of] {
			mixes = append(mixes, m)
		}
	}
	j.mixes = mixes
	clear(j.share)
	clear(j.lead)
}
