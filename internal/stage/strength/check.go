package strength

import (
	"context"
	"errors"
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
	"laywright/internal/stage/shell"
)

// usualFactor is the factor of safety where the duty states none. Source:
// [cs-vla] paragraph 303.
const usualFactor = 1.5

// Check works out whether the part holds: first with small motions, on a mesh made
// finer as far as the job asks, then with large ones where they matter.
func Check(ctx context.Context, in Input) (Result, error) {
	if in.Factor == 0 {
		in.Factor = usualFactor
	}
	if err := in.check(); err != nil {
		return Result{}, err
	}
	r, j, err := refine(ctx, in)
	if err != nil {
		return Result{}, err
	}
	if err := r.modes(ctx, j); err != nil {
		return Result{}, err
	}
	found := j.run()
	if j.in.wantsLarge(&r) {
		if found, err = r.large(ctx, j, found); err != nil {
			return Result{}, err
		}
	}
	r.judge(j, found)
	r.bear(j)
	r.bond(j, j.hold)
	r.note(j)
	r.noteHeld(j.in, j.hold)
	return r, nil
}

// begin sets the part up on its mesh and finds its small motions.
func begin(ctx context.Context, in Input) (r Result, j *judging, err error) {
	t, err := mesh.NewTopology(in.Mesh)
	if err != nil {
		return r, nil, err
	}
	axis, err := reference(t, in.Warp)
	if err != nil {
		return r, nil, err
	}
	stacks, err := in.stacks(axis)
	if err != nil {
		return r, nil, err
	}
	hold, err := in.holds(t, stacks)
	if err != nil {
		return r, nil, err
	}
	solver, err := shell.New(ctx, &shell.Model{Mesh: in.Mesh, Sections: stacks.sections, Section: stacks.of, Axis: axis, Held: hold.held, Springs: hold.springs})
	if err != nil {
		return r, nil, err
	}
	r = Result{Factor: in.Factor, Elements: len(in.Mesh.Triangles), Unknowns: solver.Unknowns(), Direction: axis, Mesh: in.Mesh}
	r.measure(&in, stacks)
	r.noteHold(&in, hold.free)
	in.settleHeat(stacks, &r)
	j = &judging{in: &in, top: t, stacks: stacks, hold: hold, solver: solver, blends: blends(in.Cases), judges: in.judges(), share: make([]float64, len(axis)), lead: make([]Lead, len(axis))}
	if j.unit, err = in.solveUnits(solver, j.blends); err != nil {
		return r, nil, err
	}
	var alone int
	j.butts, alone = in.butts(stacks)
	r.noteButts(&in, alone)
	j.react()
	j.small()
	r.move(j)
	return r, j, nil
}

func (in *Input) check() error {
	if len(in.Layers) == 0 || len(in.Mesh.Triangles) == 0 {
		return &fault.Input{Field: "laminate.stack", What: "there is no wall to check"}
	}
	if len(in.Cases) == 0 {
		return &fault.Input{Field: "duty.loads", What: "nothing loads the part", Do: "give a pressure, an inertia or a handling load"}
	}
	if err := fault.Check("duty.loads.factor", in.Factor, 1, 10, "", "a factor of safety is 1 or more"); err != nil {
		return err
	}
	if in.Walls != nil && len(in.Walls) != len(in.Mesh.Triangles) {
		return &fault.Input{Field: "plies", What: "the plies do not fit the surface"}
	}
	for _, c := range in.Cases {
		for _, x := range []struct {
			field string
			value float64
		}{{"pressure", float64(c.Pressure)}, {"inertia", c.Inertia}, {"handling.force", float64(c.Handling)}, {"wall_temperature", float64(c.DT)}} {
			if err := fault.Check("duty.loads."+x.field, x.value, -1e9, 1e9, "", "a finite number"); err != nil {
				return err
			}
		}
	}
	return nil
}

// settleHeat leaves heat out where some layer's expansion is not known.
func (in *Input) settleHeat(s *stacks, r *Result) {
	in.Cases = append([]Case(nil), in.Cases...)
	known, hot := true, false
	for i := range s.sections {
		known = known && s.sections[i].Wall.ThermalKnown
	}
	for i := range in.Cases {
		c := &in.Cases[i]
		hot = hot || c.DT != 0 || c.Across != 0
		if !known {
			c.DT, c.Across = 0, 0
		} else if in.Ground.Expansion != nil {
			c.growth = float64(*in.Ground.Expansion) * float64(c.Under)
		} else {
			c.growth = in.expansion(s) * float64(c.DT)
		}
	}
	if known && hot {
		r.noteGrowth(in, s)
	}
	if known || !hot {
		return
	}
	r.find(fault.Note, "expansion-unknown", "Stress of temperature is left out: the expansion of some layer is not known.",
		"A wall of unlike layers strains itself when it warms or cools.", "Add alpha to the records of fibre, resin, ply or core.")
}

// expansion is the part's own in its plane, the mean over its surface and of both
// directions, 1/K.
func (in *Input) expansion(s *stacks) float64 {
	var sum, area float64
	for f := range in.Mesh.Triangles {
		a := in.Mesh.FaceArea(f)
		α := s.section(f).Wall.InPlaneExpansion()
		sum, area = sum+a*(α[0]+α[1])/2, area+a
	}
	return sum / area
}

// move reports how far the wall moves.
func (r *Result) move(j *judging) {
	r.Cases = make([]CaseResult, len(j.in.Cases))
	for i, c := range j.in.Cases {
		r.Cases[i].Name = c.Name
	}
	var thermal float64
	var most shell.Motion
	for i := range j.blends {
		b := &j.blends[i]
		m := b.moved(&j.unit, false)
		at, size := largest(m.Move)
		c := &r.Cases[b.of]
		if si.Length(size) >= c.Deflection {
			c.Deflection, c.Reaction = si.Length(size), place(j.reaction(b))
		}
		if most.Move == nil || size > float64(r.Deflection) {
			r.Deflection, most = si.Length(size), m
			r.DeflectionAt = place(j.in.Mesh.Vertices[at])
		}
		_, heat := largest(b.moved(&j.unit, true).Move)
		thermal = math.Max(thermal, heat)
	}
	if most.Move == nil {
		r.Move = make([]r3.Vec, len(j.in.Mesh.Vertices))
	} else {
		r.Move = most.Move
		r.MeshError, j.error = j.solver.MeshError(most, 0)
	}
	if thermal > 0 {
		l := si.Length(thermal)
		r.Thermal = &l
	}
}

// judge reports how near the plies come to failing.
func (r *Result) judge(j *judging, s scan) {
	known := false
	for _, l := range j.in.Layers {
		known = known || l.Strength != nil || l.CoreShear > 0
	}
	if !known {
		return
	}
	r.Share, r.Lead = j.share, j.lead
	r.ByCriterion = map[wall.Criterion]Worst{}
	var worst Worst
	for c, spot := range s.worst {
		if spot.index == 0 {
			continue
		}
		w := j.worst(c, spot)
		if w.Index > worst.Index {
			worst = w
		}
		if !math.IsInf(w.Index, 1) {
			r.ByCriterion[w.Criterion] = w
		}
	}
	for i, x := range s.byMix {
		c := &r.Cases[j.blends[j.mixes[i].blend].of]
		if !math.IsInf(x, 1) && (c.Index == nil || x > *c.Index) {
			c.Index = &x
		}
	}
	if math.IsInf(worst.Index, 1) {
		r.find(fault.Stop, "heat-breaks-ply", "The change of temperature alone breaks "+worst.Layer+": "+worst.Mode+".",
			"Unlike layers hold each other back as they warm or cool.", "Take like layers, or cure nearer to the temperature in service.")
		return
	}
	margin := math.Inf(1)
	if worst.Index > 0 {
		margin = 1/(worst.Index*r.Factor) - 1
	}
	r.Index = &worst.Index
	if !math.IsInf(margin, 1) {
		r.Margin, r.Worst = &margin, &worst
	}
}

// modes reports buckling and the lowest frequency, the searches side by side. A
// search that does not end leaves its number out and says so.
func (r *Result) modes(ctx context.Context, j *judging) error {
	cases := r.buckling(j)
	modes, errs := make([]shell.Mode, len(cases)), make([]error, len(cases)+1)
	var wait sync.WaitGroup
	for i, b := range cases {
		wait.Go(func() {
			modes[i], errs[i] = j.solver.Buckling(ctx, b.moved(&j.unit, false), 0)
		})
	}
	var frequency si.Rate
	if j.in.MassKnown {
		m := si.Mass(j.solver.Mass())
		r.Mass = &m
		swings, err := j.solver.Frequencies(ctx, 1)
		errs[len(cases)] = err
		if len(swings) > 0 {
			frequency, r.Swing = swings[0].Frequency, swings[0].Shape.Move
		}
	}
	wait.Wait()
	least := math.Inf(1)
	for i, err := range errs {
		what := "buckling factor"
		if i == len(cases) {
			what = "frequency"
		}
		switch none := new(fault.NoSolution); {
		case err == nil && i < len(cases):
			if modes[i].Factor < least {
				least, r.Buckled = modes[i].Factor, modes[i].Shape.Move
			}
		case err == nil && frequency > 0:
			r.Frequency = &frequency
		case errors.As(err, &none):
			r.find(fault.Note, "search-unfinished", "The "+what+" is left out: "+none.Error()+".", "The search for the lowest mode did not settle.", none.Do)
		case err != nil:
			return err
		}
	}
	if !math.IsInf(least, 1) {
		r.Buckling = &least
	}
	return nil
}

// buckling picks what may buckle the part: the case that moves it most, and the
// strongest suction, which puts a wall under compression where pressure does not.
func (r *Result) buckling(j *judging) []blend {
	var out []blend
	deepest, suction := 0.0, 0.0
	var big, low *blend
	for i := range j.blends {
		b := &j.blends[i]
		if !b.mechanical() {
			continue
		}
		if _, size := largest(b.moved(&j.unit, false).Move); size > deepest {
			deepest, big = size, b
		}
		if p := b.share[unitPressure]; p < suction {
			suction, low = p, b
		}
	}
	if big != nil {
		out = append(out, *big)
	}
	if low != nil && low != big {
		out = append(out, *low)
	}
	return out
}
