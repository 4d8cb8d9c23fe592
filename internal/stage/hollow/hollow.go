// Package hollow answers where a part bends inwards so that cloth bridges it: how
// wide cloth stands off that is laid straight across, and cloth that is pressed in
// by hand. It needs the surface of the part with its outward normals towards the
// free side, the least radius and the thickness of each ply, and how far the cloth
// reaches beyond the rim.
//
// Cloth in a hollow is seen in section: a fillet of radius r through which the
// surface turns by θ, between two arms along which the cloth lies pressed on by the
// bag.
//
// Under the net pressure p a cloth of radius R carries the tension T = p·R. It is
// drawn into the hollow from its sides, against friction, which lets it slide only
// where T exceeds what the arm holds. On a flat arm of length L that is μ·p·L, so
// the cloth comes to rest at
//
//	R = μ·L
//
// whatever the pressure is: more vacuum does not draw it in. Only cloth that was
// pressed in by hand before, and so lies there without tension, lies as tight as
// its yarns bend.
//
// Source: equilibrium, derived here.
//
// Lengths are metres, angles radians. It leaves out seams, stiffness across the
// section and the curving of a hollow along itself, and judges nothing: whether a
// gap matters is for the plan of the plies to say.
package hollow

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// Limits of the search for hollows.
const (
	// leastTurn is the turn of a whole hollow below which cloth lies across it.
	leastTurn = 10 * math.Pi / 180
	// widestReach is the hollow radius, m, above which none is looked for.
	widestReach  = 0.06
	mostSections = 240 // of all hollows
	mostHollows  = 24
)

// Hollow is a place where the part bends inwards, seen from the free side. Tight
// numbers are those of cloth that is laid straight across and then drawn down by
// the vacuum ([stand]).
type Hollow struct {
	At     [3]float64 `json:"at_m"`     // where cloth would stand off most
	Length si.Length  `json:"length_m"` // along the hollow
	Radius si.Length  `json:"radius_m"` // there; 0: a sharp edge
	Turn   si.Angle   `json:"turn_deg"` // through which the surface turns there
	Tight  si.Length  `json:"tight_radius_m"`
	Gap    si.Length  `json:"tight_gap_m"`    // in its middle
	Feed   si.Length  `json:"tight_feed_m"`   // cloth that must come in from the sides to close it
	Resin  si.Mass    `json:"tight_resin_kg"` // that would fill all of it

	sections []section
	spans    []float64 // of the hollow that each section stands for, m
	beyond   float64   // cloth beyond the rim, m
}

// Ply is what a ply brings into a hollow.
type Ply struct {
	Least     si.Length // radius that its cloth goes into by hand; 0: any
	Thickness si.Length // by which it makes the hollow tighter for the next
}

// Find finds the hollow places under a stack, given from the mould face, the one
// where tight cloth stands off most first. The cloth reaches beyond the rim by a
// free end of that length.
func Find(top *mesh.Topology, stack []Ply, beyond si.Length) []Hollow {
	reach := friction * top.Mesh.Diagonal()
	for _, p := range stack {
		reach = max(reach, float64(p.Least))
	}
	h := bendsInwards(top, min(reach, widestReach))
	var out []Hollow
	left := mostSections
	for _, group := range h.groups() {
		found := h.cutUp(group, &left)
		found.beyond = float64(beyond)
		if found.sum() {
			out = append(out, found)
		}
	}
	tight := tightFor(stack)
	out = slices.DeleteFunc(out, func(h Hollow) bool { return h.Gap <= 0 && float64(h.Radius) > tight })
	slices.SortStableFunc(out, func(a, b Hollow) int {
		return cmp.Or(cmp.Compare(b.Gap, a.Gap), cmp.Compare(a.Radius, b.Radius))
	})
	return out[:min(len(out), mostHollows)]
}

// tightFor returns the radius below which a hollow may be too tight for the last
// of the plies.
func tightFor(stack []Ply) (radius float64) {
	under := 0.0
	for _, p := range stack {
		radius = max(radius, under+float64(p.Least))
		under += float64(p.Thickness)
	}
	return radius
}

// tightAt is how cloth laid straight across stands in section i: it slides in
// from the arm that holds less.
func (h *Hollow) tightAt(i int) standing {
	c := &h.sections[i]
	R := min(c.arms[0].hold(h.beyond), c.arms[1].hold(h.beyond))
	return stand(R, c.radius, c.turn, min(c.arms[0].flat, c.arms[1].flat))
}

// sum adds up the sections; false where there are none.
func (h *Hollow) sum() bool {
	worst := -1.0
	for i, c := range h.sections {
		s := h.tightAt(i)
		h.Length += si.Length(h.spans[i])
		h.Resin += si.Mass(resinRho * s.void * h.spans[i])
		if s.gap > worst || s.gap == worst && si.Length(c.radius) < h.Radius {
			worst = s.gap
			h.At, h.Radius, h.Turn = [3]float64{c.at.X, c.at.Y, c.at.Z}, si.Length(c.radius), si.Angle(c.turn)
			h.Tight, h.Gap, h.Feed = si.Length(s.radius), si.Length(s.gap), si.Length(s.feed)
		}
	}
	return len(h.sections) > 0
}

// Across returns the direction, a unit vector, in which cloth crosses the hollow
// where it would stand off most.
func (h *Hollow) Across() (across r3.Vec) {
	at, least := r3.Vec{X: h.At[0], Y: h.At[1], Z: h.At[2]}, math.Inf(1)
	for _, c := range h.sections {
		if d := r3.Norm2(r3.Sub(c.at, at)); d < least {
			least, across = d, c.across
		}
	}
	return across
}

// resinRho is the density of the resin that fills a gap, kg/m³, common practice.
const resinRho = 1150.0

// Bridging is what cloth that was pressed in by hand leaves of all hollows.
type Bridging struct {
	Places int       // that it stands off
	Gap    si.Length // where it stands off most
	At     r3.Vec    // that place, m
	Radius si.Length // of the hollow there under this ply
	Resin  si.Mass   // that fills all gaps
}

// Pressed works out how a cloth stands in the hollows when it goes no tighter
// than its least radius and lies on what is below it, which makes every hollow
// tighter by its thickness. Gaps up to a trifle do not count.
func Pressed(hollows []Hollow, least, below, trifle si.Length) (out Bridging) {
	for _, h := range hollows {
		worst := 0.0
		for i, c := range h.sections {
			r := max(0, c.radius-float64(below))
			s := stand(float64(least), r, c.turn, min(c.arms[0].flat, c.arms[1].flat))
			if s.gap <= float64(trifle) {
				continue
			}
			worst = max(worst, s.gap)
			out.Resin += si.Mass(resinRho * s.void * h.spans[i])
			if s.gap > float64(out.Gap) {
				out.Gap, out.At, out.Radius = si.Length(s.gap), c.at, si.Length(r)
			}
		}
		if worst > 0 {
			out.Places++
		}
	}
	return out
}
