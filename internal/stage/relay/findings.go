package relay

import (
	"fmt"
	"strings"

	"laywright/internal/base/fault"
)

// Limits of the findings.
const (
	leastCover = 0.9995 // share of the part
	knifeOff   = 1e-4   // m: how far a cut line without allowance may stand inside the edge
	leastEdge  = 0.5    // of the asked allowance
	leastUncut = 0.002  // m: a thread or two
	// leastOver is the area on which laps of successive plies may lie over each
	// other without a remark, m²: a thumbnail.
	leastOver = 1e-4
)

// Findings says where plies do not cover the part, where seams are short of
// their laps or not cut, where the cut line comes near to the trim line, and where too
// many laps lie over each other.
func (r *Result) Findings(in Input) (out []fault.Finding) {
	for _, f := range []func(Input) (fault.Finding, bool){r.bare, r.uncut, r.short, r.edge, r.stacked} {
		if finding, is := f(in); is {
			finding.Stage, finding.Severity = "plies", fault.Caution
			out = append(out, finding)
		}
	}
	return out
}

// named lists the plies that something is true of: "ply 2", "plies 1, 3".
func (r *Result) named(is func(*Covered) bool) (names string, any bool) {
	var numbers []string
	for i := range r.Plies {
		if is(&r.Plies[i]) {
			numbers = append(numbers, fmt.Sprint(r.Plies[i].Number))
		}
	}
	if len(numbers) == 1 {
		return "ply " + numbers[0], true
	}
	return "plies " + strings.Join(numbers, ", "), len(numbers) > 0
}

// leastCover is the share of the part that a ply must cover: without an allowance all but
// a hair along the edge.
func (in Input) leastCover() float64 {
	if in.Allowance > 0 {
		return leastCover
	}
	long := 0.0
	for _, e := range in.Surface.RimEdges() {
		long += in.Surface.EdgeLength(int(e))
	}
	return min(leastCover, 1-knifeOff*long/in.Surface.Mesh.Area())
}

func (r *Result) bare(in Input) (fault.Finding, bool) {
	leastCover := in.leastCover()
	names, any := r.named(func(c *Covered) bool { return c.Coverage < leastCover })
	cover, where := 1.0, ""
	for _, c := range r.Plies {
		if c.Coverage < min(cover, leastCover) {
			cover, where = c.Coverage, ""
			if len(c.Uncovered) > 0 {
				where = fmt.Sprintf(" The largest place is at %s, %.1f cm².", mm(c.Uncovered[0].At), 1e4*float64(c.Uncovered[0].Area))
			}
		}
	}
	return fault.Finding{Code: "coverage-low", What: "The pieces of " + names + " leave part of the mould bare when they are put back." + where,
		Why: "a seam gapes there, or the outline ends short of the trim line",
		Do:  "Lay a piece of the same cloth over it, a lap wider all round."}.Against(100*cover, 100*leastCover, "% of the part"), any
}

func (r *Result) uncut(Input) (fault.Finding, bool) {
	names, _ := r.named(func(c *Covered) bool { return c.Uncut > 0 })
	long := 0.0
	for _, c := range r.Plies {
		long += float64(c.Uncut)
	}
	return fault.Finding{Code: "seam-not-cut", What: fmt.Sprintf("The pieces of %s are not cut through along %.0f mm of their seams.", names, 1000*long),
		Why: "the sides lie so near in the flat that no cut was drawn between them",
		Do:  "Cut along the lap line there."}.Against(1000*long, 1000*leastUncut, "mm"), long > leastUncut
}

func (r *Result) short(in Input) (fault.Finding, bool) {
	names, any := r.named(func(c *Covered) bool { return c.LapShort > 0 })
	least, long, whole := in.Lap, 0.0, 0.0
	for _, c := range r.Plies {
		whole, long = whole+float64(c.SeamLong), long+float64(c.LapShort)
		if c.LapLeast != nil {
			least = min(least, float64(*c.LapLeast))
		}
	}
	f := fault.Finding{Code: "lap-short", What: fmt.Sprintf("Put back on the mould, %s have less than the asked lap over %.0f mm of %.0f mm of seam.", names, 1000*long, 1000*whole),
		Why: "the cloth for a lap comes from the notch that a slit leaves; near the tip there is less",
		Do:  "Lay a strip of the same cloth over the seam there, twice the lap wide."}
	if in.Lap == 0 {
		f.Code, f.What = "seam-gapes", fmt.Sprintf("Put back on the mould, the seams of %s gape over %.0f mm of %.0f mm.", names, 1000*long, 1000*whole)
		f.Why = "beside the slit the surface opens"
	}
	return f.Against(1000*least, 1000*in.Lap, "mm"), any
}

func (r *Result) edge(in Input) (fault.Finding, bool) {
	close := leastEdge * in.Allowance
	if in.Allowance == 0 {
		close = -knifeOff
	}
	names, any := r.named(func(c *Covered) bool { return c.EdgeLeast != nil && float64(*c.EdgeLeast) < close })
	least := in.Allowance
	for _, c := range r.Plies {
		if c.EdgeLeast != nil {
			least = min(least, float64(*c.EdgeLeast))
		}
	}
	return fault.Finding{Code: "edge-short", What: fmt.Sprintf("The cut line of %s comes to %.1f mm beyond the trim line when it is put back.", names, 1000*least),
		Why: "sheared cloth is narrower across its edge",
		Do:  "Leave more cloth there when cutting."}.Against(1000*least, 1000*close, "mm"), any
}

func (r *Result) stacked(Input) (fault.Finding, bool) {
	return fault.Finding{Code: "laps-stacked",
		What: fmt.Sprintf("At %s %d of three successive plies lie double; more than one does over %.1f cm².", mm(r.DoubledAt), r.DoubledMax, 1e4*float64(r.DoubledOver)),
		Why:  "the seams of these plies must reach the same place, and each brings its lap",
		Do:   "Feather the edges of the laps there, or lay one ply butted."}.Against(float64(r.DoubledMax), 1, "plies"), r.DoubledMax > 1 && r.DoubledOver > leastOver
}

func mm(p [3]float64) string {
	return fmt.Sprintf("(%.0f, %.0f, %.0f) mm", 1000*p[0]+0, 1000*p[1]+0, 1000*p[2]+0)
}
