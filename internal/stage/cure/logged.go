package cure

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/probes"
)

// logged is a cure by a logger's readings. All its times are from the first mixing.
type logged struct {
	in      Input // with the schedule on the same clock
	starts  float64
	off     float64 // when the part is taken off, s; +Inf: never
	all     []probes.Probe
	stands  probes.Role // what the probes followed are on
	exact   bool        // the laminate has their temperature
	courses []course
	air     *probes.Probe // nil: none beside the part's
}

// course is the cure at one probe.
type course struct {
	probe *probes.Probe
	line  Curve   // as measured
	ps    []piece // that and what follows
	now   *watch  // at the log's end
	end   *watch  // at the end of all
}

// simulateLog is [Simulate] with a logger's readings. The cure is worked out at
// each probe on the part: the slowest of them says what has set, the warmest what
// is held against limits. Where only the air was measured, heat is followed
// through the stack from it.
func simulateLog(ctx context.Context, in Input) (Result, error) {
	l, err := hear(in)
	if err != nil {
		return Result{}, err
	}
	for i := range l.courses {
		if err := l.follow(ctx, &l.courses[i]); err != nil {
			return Result{}, err
		}
	}
	now := worst(l.watches(func(c course) *watch { return c.now }))
	end := worst(l.watches(func(c course) *watch { return c.end }))
	slowest := l.slowest()
	if l.air != nil {
		end.beside(*l.air)
	}
	for _, p := range l.all {
		if p.Bad == "" && (p.Role == probes.Mould || p.Role == probes.Bag) {
			end.bound = max(end.bound, p.Highest)
		}
	}
	l.in.Trace = slowest.line
	r := end.result(l.in, slowest.ps)
	r.Schedule = thinned(slowest.ps)
	if l.off < float64(r.Total) {
		r.OffMould = seconds(&l.off)
	}
	if l.in.Spec.Schedule.Given {
		planned := line(pieces(l.in.Spec.Schedule.Value, 0, l.in.Shop))
		r.Planned = &planned
	}
	if err := r.ranges(l.in, slowest.ps); err != nil {
		return Result{}, err
	}
	r.Log = describe(in.Log, si.Time(l.starts))
	if r.State, err = l.state(now); err != nil {
		return Result{}, err
	}
	r.Probes = l.states()
	if r.Forecast, err = l.forecast(&r, end); err != nil {
		return Result{}, err
	}
	r.Limits = limits(l.in, end, l.exact, 0)
	if r.Findings, err = findings(ctx, l.in, slowest.ps, places{end, end, end}, &r, l.exact); err != nil {
		return Result{}, err
	}
	more, err := l.findings(&r)
	r.Findings = append(r.Findings, more...)
	return r, err
}

// hear cleans the readings, settles which probes are followed, and puts all on
// the clock of the first mixing.
func hear(in Input) (*logged, error) {
	t := in.Spec.Trace
	l := &logged{in: in, starts: float64(in.Before), off: math.Inf(1), exact: true}
	if t.Starts.Given {
		l.starts = float64(t.Starts.Value)
		const tenDays = 240 // h
		if err := fault.Check("cure.trace.starts", l.starts/3600, -tenDays, tenDays, " h", "from the first mixing to the log's time 0; less than nothing where the logger ran before"); err != nil {
			return nil, err
		}
	}
	if in.Spec.OffMould.Given {
		l.off = float64(in.Before + in.Spec.OffMould.Value)
	}
	until := math.Inf(1)
	times := in.Log.Times
	if t.Now.Given {
		until = float64(t.Now.Value)
		if err := fault.Check("cure.trace.now", until/3600, times[min(1, len(times)-1)]/3600, times[len(times)-1]/3600, " h", "within the log's times; leave it out to go by all of it"); err != nil {
			return nil, err
		}
	}
	l.all = probes.Clean(*in.Log, until)
	if err := l.roles(); err != nil {
		return nil, err
	}
	if s := &l.in.Spec.Schedule; s.Given {
		s.Value.X = slices.Clone(s.Value.X)
		for i := range s.Value.X {
			s.Value.X[i] += in.Before
		}
		if s.Value.X[0] > 0 {
			s.Value.X = append([]si.Time{0, s.Value.X[0]}, s.Value.X...)
			s.Value.Y = append([]si.Temperature{in.Shop, in.Shop}, s.Value.Y...)
		}
	}
	l.in.Before = 0
	return l, l.choose()
}

// roles gives each probe what the job file or its name says it is on.
func (l *logged) roles() error {
	var names []string
	for i := range l.all {
		names = append(names, l.all[i].Name)
		if len(l.all) == 1 && l.all[i].Role == probes.Out {
			l.all[i].Role = probes.Part
		}
	}
	for _, name := range sortedKeys(l.in.Spec.Trace.Probes) {
		i := slices.IndexFunc(names, func(n string) bool { return strings.EqualFold(n, name) })
		if i < 0 {
			return &fault.Input{Field: "cure.trace.probes." + name, What: "the log has no such probe", Do: "write one of " + strings.Join(names, ", ")}
		}
		l.all[i].Role = l.in.Spec.Trace.Probes[name]
	}
	return nil
}

// choose takes the probes on the part; else the mould's, the air's or the bag's
// stand for it, the nearest that there is.
func (l *logged) choose() error {
	for _, role := range []probes.Role{probes.Part, probes.Mould, probes.Air, probes.Bag} {
		for i := range l.all {
			p := &l.all[i]
			if p.Role != role || p.Bad != "" {
				continue
			}
			c, err := l.onMixing(p.X, p.Y)
			if err != nil {
				return err
			}
			l.courses = append(l.courses, course{probe: p, line: c})
		}
		if len(l.courses) > 0 {
			l.stands = role
			break
		}
	}
	if len(l.courses) == 0 {
		var why []string
		for _, p := range l.all {
			bad := p.Bad
			if bad == "" {
				bad = "is left out"
			}
			why = append(why, fmt.Sprintf("%s %s", p.Name, bad))
		}
		return &fault.Input{Field: "cure.trace", What: "no probe can be followed: " + strings.Join(why, "; "),
			Do: "name a probe of the part, such as probes: {" + l.all[0].Name + ": part}, or take the trace out"}
	}
	l.exact = l.stands != probes.Air || len(l.in.Mould) == 0 || !reacts(l.in.Layers)
	for i := range l.all {
		if p := &l.all[i]; p.Role == probes.Air && p.Bad == "" && l.stands != probes.Air {
			l.air = p
			break
		}
	}
	if l.air != nil {
		air := *l.air
		c, err := l.onMixing(air.X, air.Y)
		if err != nil {
			return err
		}
		air.X, air.Y = bare(c)
		l.air = &air
	}
	return nil
}

// onMixing puts a line of the log on the clock of the first mixing: what lies
// before it is left out, and until the log begins the shop's temperature holds.
func (l *logged) onMixing(x, y []float64) (Curve, error) {
	var c Curve
	add := func(t, temp float64) { c.X, c.Y = append(c.X, si.Time(t)), append(c.Y, kelvin(temp)) }
	if first := x[0] + l.starts; first > 0 {
		add(0, float64(l.in.Shop))
		add(first, float64(l.in.Shop))
	}
	for i := range x {
		t := x[i] + l.starts
		if t < 0 {
			continue
		}
		if i > 0 && len(c.X) == 0 && t > 0 {
			before := x[i-1] + l.starts
			add(0, y[i-1]+(y[i]-y[i-1])*(0-before)/(t-before))
		}
		add(t, y[i])
	}
	if len(c.X) < 2 {
		return c, &fault.Input{Field: "cure.trace.starts", What: "puts all the log before the first mixing", Do: "count it from the first mixing to the log's time 0"}
	}
	return c, checkCurve("cure.trace", c)
}

func bare(c Curve) (x, y []float64) {
	for i := range c.X {
		x, y = append(x, float64(c.X[i])), append(y, float64(c.Y[i]))
	}
	return x, y
}

// follow runs the resin through the log, and on through what is left of the schedule.
func (l *logged) follow(ctx context.Context, c *course) (err error) {
	c.ps = splitAt(pieces(c.line, 0, l.in.Shop), l.off)
	if c.now, err = run(ctx, l.in, c.ps, l.exact, l.off); err != nil {
		return err
	}
	c.end = c.now
	if whole := l.after(c.line); len(whole.X) > len(c.line.X) {
		c.ps = splitAt(pieces(whole, 0, l.in.Shop), l.off)
		c.end, err = run(ctx, l.in, c.ps, l.exact, l.off)
	}
	return err
}

func (l *logged) after(trace Curve) Curve {
	if !l.in.Spec.Schedule.Given {
		return trace
	}
	return onwards(trace, l.in.Spec.Schedule.Value)
}

func (l *logged) watches(of func(course) *watch) (out []*watch) {
	for _, c := range l.courses {
		out = append(out, of(c))
	}
	return out
}

// slowest is the course that is least cured in the end.
func (l *logged) slowest() *course {
	least := 0
	for i, c := range l.courses {
		if c.end.least(&c.end.now) < l.courses[least].end.least(&l.courses[least].end.now) {
			least = i
		}
	}
	return &l.courses[least]
}

// worst joins what was seen at several places: what must have come everywhere is
// taken from the slowest, what must come nowhere from the warmest.
func worst(ws []*watch) *watch {
	out := *ws[0]
	for _, w := range ws[1:] {
		if w.least(&w.now) < out.least(&out.now) {
			out.now, out.history, out.air = w.now, w.history, w.air
		}
	}
	out.peak = slices.Clone(out.peak)
	for _, w := range ws[1:] {
		if w.gel != nil && (out.gel == nil || *w.gel < *out.gel) {
			out.gel = w.gel
		}
		out.gelled, out.firm = later(out.gelled, w.gelled), later(out.firm, w.firm)
		if out.glass = later(out.glass, w.glass); out.glass == w.glass {
			out.glassy = w.glassy
		}
		if w.hottest() > out.hottest() {
			copy(out.peak, w.peak)
			out.peakAt = w.peakAt
		}
		out.bound = max(out.bound, w.bound)
		if w.lead < out.lead {
			out.lead, out.leadAt = w.lead, w.leadAt
		}
	}
	return &out
}

// later is the later of two times, never where one never comes.
func later(a, b *float64) *float64 {
	if a == nil || b == nil {
		return nil
	}
	if *a > *b {
		return a
	}
	return b
}

// thinned is the course to print: no more than some two dozen lines.
func thinned(ps []piece) Line {
	whole := line(ps)
	const most = 24
	x, y := whole.Time, make([]float64, len(whole.Time))
	for i, t := range whole.Temperature {
		y[i] = float64(t)
	}
	for by := 1.0; len(x) > most && by < 64; by *= 1.5 { // K
		x, y = probes.ThinBy(x, y, by)
	}
	out := Line{Time: x}
	for _, v := range y {
		out.Temperature = append(out.Temperature, kelvin(v))
	}
	return out
}
