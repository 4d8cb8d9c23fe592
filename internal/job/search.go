package job

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/laminate"
	"laywright/internal/stage/overlay"
	"laywright/internal/stage/plies"
	"laywright/internal/stage/strength"
)

// Search is how an open stack was chosen: the lightest that meets every limit.
type Search struct {
	Best    []Try  `json:"best"`              // the lightest that hold, at most five; the first is taken
	Failed  []Try  `json:"failed"`            // lighter ones, the heaviest first, at most five: what they fail by
	OnePly  *Try   `json:"one_ply,omitempty"` // the lightest single ply, where it fails
	Tried   int    `json:"tried"`             // stacks worked through
	Rounds  int    `json:"rounds"`            // how often a choice was laid as a whole to prove it
	Nothing bool   `json:"nothing,omitempty"` // none holds: the nearest is taken
	Words   string `json:"words"`
}

// Try is a stack and what it uses of each limit: 1 is all of it.
type Try struct {
	Stack     string       `json:"stack"`
	ArealMass si.ArealMass `json:"areal_mass_kg_per_m2"`
	Thickness si.Length    `json:"thickness_m"`
	Use       float64      `json:"use"`     // of the limit that governs
	Governs   string       `json:"governs"` // strength, deflection or buckling
	How       string       `json:"how"`

	lines []laminate.Line
}

// Limits of the search.
const (
	mostShown  = 5
	mostRounds = 3    // choices that are laid as a whole before the search gives up
	mostTries  = 200  // stacks
	hopeless   = 2.5  // use beyond which other angles of the same plies are not tried
	proved     = 1e-9 // by how much a proved choice may use more than its limit
)

// seeker holds what all tries share.
type seeker struct {
	link
	laid map[layKey]overlay.Cloth // of a ply of that cloth at that angle alone
}

type layKey struct {
	fabric string
	angle  si.Angle
}

// open tells whether the stack is to be chosen, and can be: by loads on a mould.
func (l link) open() bool {
	s := l.spec.Laminate
	return s != nil && !s.Stack.Given && l.surface() != nil && l.plan.Duty != nil && l.plan.Duty.Loads != nil && len(l.plan.Duty.Loads.Cases) > 0
}

// choose returns the lightest stack that meets every limit. Stacks are tried from the
// lightest, each cloth with its yarns where one ply of it comes to lie; then the plies of
// the choice are laid as a whole, with all their seams, and it is checked again. One that
// no longer holds gives way to the next, a few times at most.
func (l link) choose(ctx context.Context) ([]laminate.Line, *Search, error) {
	if err := l.spec.Laminate.Choice.Check(false); err != nil {
		return nil, nil, err
	}
	s := &seeker{link: l, laid: map[layKey]overlay.Cloth{}}
	all, err := s.weighed()
	if err != nil {
		return nil, nil, err
	}
	out := &Search{}
	pool, err := s.holding(ctx, all, out)
	if err != nil {
		return nil, nil, err
	}
	if len(pool) == 0 {
		return out.nothing()
	}
	for len(pool) > 0 && out.Rounds < mostRounds {
		out.Rounds++
		first, err := s.whole(ctx, pool[0])
		if err != nil {
			return nil, nil, err
		}
		if first.Use <= 1+proved || out.Rounds == mostRounds || len(pool) == 1 {
			pool[0] = first
			break
		}
		out.Failed = append([]Try{first}, out.Failed...)
		pool = pool[1:]
	}
	out.Best = pool[:min(len(pool), mostShown)]
	out.Failed = out.Failed[:min(len(out.Failed), mostShown)]
	out.Words = fmt.Sprintf("%s: the lightest of %d tried that holds; %s governs, %.0f %% of it used.", out.Best[0].Stack, out.Tried, out.Best[0].Governs, 100*out.Best[0].Use)
	return out.Best[0].lines, out, nil
}

// weighed lists the candidates, the lightest first, of one weight the thinner first.
func (s *seeker) weighed() (out []Try, err error) {
	for _, lines := range s.spec.Laminate.Choice.Candidates() {
		wall, err := s.with(lines).designed()
		if err != nil {
			return nil, err
		}
		if wall.ArealMass == nil || wall.Stiff == nil {
			return nil, &fault.Input{Field: "laminate.choose", What: "mass or stiffness of " + laminate.Short(lines) + " is not known", Do: "complete its records, or write the stack"}
		}
		out = append(out, Try{Stack: laminate.Short(lines), ArealMass: *wall.ArealMass, Thickness: wall.Thickness, lines: lines})
	}
	slices.SortStableFunc(out, func(a, b Try) int { return cmp.Compare(a.ArealMass, b.ArealMass) })
	return out, nil
}

// holding tries stacks until five hold and no other is as light; of those that weigh the
// same the one with most in hand comes first. Where the first pattern of a cloth and number of
// plies is beyond hope, its other patterns are passed over.
func (s *seeker) holding(ctx context.Context, all []Try, out *Search) (pool []Try, err error) {
	lost, single := map[si.ArealMass]bool{}, false
	for _, t := range all {
		enough := len(pool) >= mostShown && t.ArealMass > pool[len(pool)-1].ArealMass
		if enough || out.Tried == mostTries {
			break
		}
		if lost[t.ArealMass] {
			continue
		}
		t, err := s.alone(ctx, t)
		if err != nil {
			return nil, err
		}
		out.Tried++
		lost[t.ArealMass] = t.Use > hopeless
		if t.Use <= 1 {
			pool = append(pool, t)
		} else {
			out.Failed = append([]Try{t}, out.Failed...)
		}
		if s.spec.Laminate.Choice.Plies(t.lines) > 1 {
			continue
		}
		if t.Use <= 1 {
			single = true
		} else if out.OnePly == nil {
			out.OnePly = &t
		}
	}
	if single { // another ply, or another angle, does
		out.OnePly = nil
	}
	slices.SortStableFunc(pool, func(a, b Try) int {
		return cmp.Or(cmp.Compare(a.ArealMass, b.ArealMass), cmp.Compare(a.Use, b.Use))
	})
	return pool, nil
}

// nothing takes the stack that comes nearest to holding.
func (out *Search) nothing() ([]laminate.Line, *Search, error) {
	slices.SortStableFunc(out.Failed, func(a, b Try) int { return cmp.Compare(a.Use, b.Use) })
	out.Nothing, out.Best = true, []Try{}
	out.Failed = out.Failed[:min(len(out.Failed), mostShown)]
	near := out.Failed[0]
	out.Words = fmt.Sprintf("None of %d stacks holds. %s comes nearest; it fails by %s.", out.Tried, near.Stack, near.Governs)
	return near.lines, out, nil
}

// with is the link of the same job with a stack written, and a plan of its own.
func (l link) with(lines []laminate.Line) link {
	section := *l.spec.Laminate
	section.Choice = laminate.Choice{}
	section.Stack = bind.Auto[[]laminate.Line]{Given: true, Value: lines}
	l.spec.Laminate = &section
	l.plan = &Plan{Job: l.plan.Job, Duty: l.plan.Duty, Mould: l.plan.Mould, Spec: l.spec, records: l.records}
	return l
}

func (l link) designed() (laminate.Result, error) {
	in, err := l.laminate()
	if err != nil {
		return laminate.Result{}, err
	}
	return laminate.Design(in)
}

// alone judges a stack with each cloth lying as one ply of it does by itself.
func (s *seeker) alone(ctx context.Context, t Try) (Try, error) {
	l := s.with(t.lines)
	wall, err := l.designed()
	if err != nil {
		return t, err
	}
	l.plan.Laminate, l.plan.Plies = &wall, &plies.Result{}
	in, err := l.plies()
	if err != nil {
		return t, err
	}
	for _, ply := range in.Plies {
		key := layKey{ply.Name, ply.Angle}
		if _, known := s.laid[key]; !known {
			one := in
			one.Plies = []plies.PlyIn{ply}
			one.Plies[0].Number = 1
			r, err := plies.Lay(ctx, one)
			if err != nil {
				return t, err
			}
			s.laid[key] = r.Relaid.Cloth[0]
		}
		l.plan.Plies.Relaid.Cloth = append(l.plan.Plies.Relaid.Cloth, s.laid[key])
	}
	return l.judged(ctx, t)
}

// whole judges a stack with all its plies laid together, as the plan will lay them.
func (s *seeker) whole(ctx context.Context, t Try) (Try, error) {
	l := s.with(t.lines)
	wall, err := l.designed()
	if err != nil {
		return t, err
	}
	l.plan.Laminate = &wall
	in, err := l.plies()
	if err != nil {
		return t, err
	}
	laid, err := plies.Lay(ctx, in)
	if err != nil {
		return t, err
	}
	l.plan.Plies = &laid
	return l.judged(ctx, t)
}

// judged fills in what a stack uses of each limit.
func (l link) judged(ctx context.Context, t Try) (Try, error) {
	in, err := l.strength()
	if err != nil {
		return t, err
	}
	r, err := strength.Check(ctx, in)
	if err != nil {
		return t, err
	}
	t.Use, t.Governs, t.How = 0, "nothing", ""
	use := func(share float64, what, how string) {
		if share > t.Use {
			t.Use, t.Governs, t.How = share, what, how
		}
	}
	if r.Index != nil {
		how := ""
		if r.Worst != nil {
			how = fmt.Sprintf("%s, %s, by %s under %q", r.Worst.Layer, r.Worst.Mode, r.Worst.Criterion, r.Worst.Case)
		}
		use(*r.Index*r.Factor, "strength", how)
	}
	if in.Limit != nil && *in.Limit > 0 {
		use(float64(r.Deflection / *in.Limit), "deflection", fmt.Sprintf("moves %.2f mm of %.2f mm", 1e3*float64(r.Deflection), 1e3*float64(*in.Limit)))
	}
	if r.Buckling != nil && *r.Buckling > 0 {
		use(r.Factor / *r.Buckling, "buckling", fmt.Sprintf("folds at %.2f times its load", *r.Buckling))
	}
	if r.Snaps != nil {
		use(r.Factor / *r.Snaps, "snapping", fmt.Sprintf("pops in at %.2f times its load", *r.Snaps))
	}
	if math.IsNaN(t.Use) {
		return t, &fault.NoSolution{What: "what " + t.Stack + " uses of its limits"}
	}
	return t, nil
}

// findings tells of the choice.
func (out *Search) findings() []fault.Finding {
	if out == nil {
		return nil
	}
	if out.Nothing {
		near := out.Failed[0]
		return []fault.Finding{fault.Finding{Stage: "laminate", Severity: fault.Stop, Code: "no-stack-holds", What: out.Words, Why: near.How,
			Do: "Add a core or more plies to laminate.choose, hold the part nearer, or round its panels"}.Against(near.Use, 1, "")}
	}
	why := "every lighter one of the cloths named fails"
	if len(out.Failed) > 0 {
		f := out.Failed[0]
		why = fmt.Sprintf("the next lighter, %s, fails by %s: %s", f.Stack, f.Governs, f.How)
	}
	found := []fault.Finding{fault.Finding{Stage: "laminate", Severity: fault.Note, Code: "stack-chosen", What: out.Words, Why: why,
		Do: "Write it as laminate.stack to keep it, or one of the others that hold"}.Against(out.Best[0].Use, 1, "")}
	if thin := out.OnePly; thin != nil {
		found = append(found, fault.Finding{Stage: "laminate", Severity: fault.Note, Code: "one-ply-fails", What: fmt.Sprintf("A wall of one ply, %s, does not do: %s.", thin.Stack, thin.How),
			Why: "a single ply has next to no stiffness across itself and pops in and out like the lid of a can", Do: "Lay what the search found, or stiffen the panel with a bead or a core"}.Against(thin.Use, 1, ""))
	}
	return found
}
