package relay

import (
	"fmt"
	"strings"

	"laywright/internal/base/fault"
)

// Limits of the findings.
const (
	leastCover = 0.9995 // share of the part
	// leastOver is the area on which laps of successive plies may lie over each
	// other without a remark, m²: a thumbnail.
	leastOver = 1e-4
)

// Findings says where plies do not cover the part, where laps are short, and
// where too many lie over each other.
func (r *Result) Findings(in Input) (out []fault.Finding) {
	add := func(code, what, why, do string, value, limit float64, unit string) {
		out = append(out, fault.Finding{Stage: "plies", Severity: fault.Caution, Code: code, What: what, Why: why, Do: do}.Against(value, limit, unit))
	}
	var bare, short []string
	cover, least, long, missing := 1.0, in.Lap, 0.0, 0.0
	where := ""
	for _, p := range r.Plies {
		if p.Coverage < leastCover {
			bare = append(bare, fmt.Sprint(p.Number))
			if p.Coverage < cover {
				cover, where = p.Coverage, ""
				if len(p.Uncovered) > 0 {
					where = fmt.Sprintf(" The largest place is at %s, %.1f cm².", mm(p.Uncovered[0].At), 1e4*float64(p.Uncovered[0].Area))
				}
			}
		}
		long += float64(p.SeamLong)
		if p.LapShort > 0 {
			short = append(short, fmt.Sprint(p.Number))
			missing += float64(p.LapShort)
			least = min(least, float64(*p.LapLeast))
		}
	}
	if len(bare) > 0 {
		add("coverage-low", "The pieces of "+named(bare)+" leave part of the mould bare when they are put back."+where,
			"a slit gapes there, or the outline ends short of the trim line", "Lay a piece of the same cloth over it, a lap wider all round.",
			100*cover, 100*leastCover, "% of the part")
	}
	if len(short) > 0 {
		add("lap-short", fmt.Sprintf("Put back on the mould, %s have less than the asked lap over %.0f mm of %.0f mm of seam.", named(short), 1000*missing, 1000*long),
			"the cloth for a lap comes from the notch that a slit leaves; near the tip there is less", "Lay a strip of the same cloth over the seam there, twice the lap wide.",
			1000*least, 1000*in.Lap, "mm")
	}
	if r.DoubledMax > 1 && float64(r.DoubledOver) > leastOver {
		add("laps-stacked", fmt.Sprintf("At %s %d of three successive plies lie double; more than one does over %.1f cm².", mm(r.DoubledAt), r.DoubledMax, 1e4*float64(r.DoubledOver)),
			"the seams of these plies must reach the same place, and each brings its lap", "Feather the edges of the laps there, or lay one ply butted.",
			float64(r.DoubledMax), 1, "plies")
	}
	return out
}

func named(numbers []string) string {
	if len(numbers) == 1 {
		return "ply " + numbers[0]
	}
	return "plies " + strings.Join(numbers, ", ")
}

func mm(p [3]float64) string {
	return fmt.Sprintf("(%.0f, %.0f, %.0f) mm", 1000*p[0]+0, 1000*p[1]+0, 1000*p[2]+0)
}
