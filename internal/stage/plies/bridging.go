package plies

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
)

// usualDryThick stands in where a fabric's record has no thickness, m, and
// resinRho is the density of the resin that fills a gap, kg/m³; both common
// practice.
const (
	usualDryThick = 0.25e-3
	resinRho      = 1150.0
)

// standsOff is the gap, m, from which on a hollow is worth a word: about a ply's
// thickness, common practice.
const standsOff = 0.25e-3

// thickness is that of a ply, cured where it is known, m.
func thickness(p PlyIn) float64 {
	if p.Thickness > 0 {
		return float64(p.Thickness)
	}
	return float64(p.Fabric.DryThick.Or(usualDryThick))
}

// bridging is what cloth that was pressed in by hand leaves of all hollows.
type bridging struct {
	places int     // that it stands off
	gap    float64 // where it stands off most, m
	at     r3.Vec
	radius float64 // of that place under this ply, m
	resin  float64 // that fills all gaps, kg
}

// pressed works out how a cloth stands in the hollows when it goes no tighter
// than its least radius and lies on what is below it, which makes every hollow
// tighter by its thickness.
func pressed(hollows []Hollow, least, below, trifle float64) (out bridging) {
	for _, h := range hollows {
		worst := 0.0
		for i, c := range h.sections {
			r := max(0, c.radius-below)
			s := stand(least, r, c.turn, min(c.arms[0].flat, c.arms[1].flat))
			if s.gap <= trifle {
				continue
			}
			worst = max(worst, s.gap)
			out.resin += resinRho * s.void * h.spans[i]
			if s.gap > out.gap {
				out.gap, out.at, out.radius = s.gap, c.at, r
			}
		}
		if worst > 0 {
			out.places++
		}
	}
	return out
}

// below returns what lies under the last ply of a cloth, m.
func (w *work) below(name string) (under float64) {
	sum := 0.0
	for _, p := range w.in.Plies {
		if p.Name == name {
			under = sum
		}
		sum += thickness(p)
	}
	return under
}

// judgeHollow tells where a cloth stands off the hollows even when it is pressed
// in, once a fabric.
func (w *work) judgeHollow(out *Result, p PlyIn, hollows []Hollow) {
	least, under := float64(p.Fabric.MinRadius.Or(0)), w.below(p.Name)
	b := pressed(hollows, least, under, standsOff)
	if b.places == 0 {
		return
	}
	where := "the hollow at " + mm(b.at)
	if b.places > 1 {
		where = fmt.Sprintf("%d hollows, most at %s", b.places, mm(b.at))
	}
	why := fmt.Sprintf("the cloth goes into a radius of %.1f mm by hand, and its last ply finds %.1f mm there", 1000*least, 1000*b.radius)
	if under == 0 {
		why = fmt.Sprintf("the cloth goes into a radius of %.1f mm by hand, and the hollow has %.1f mm", 1000*least, 1000*b.radius)
	}
	out.add(fault.Caution, "cloth-bridges",
		fmt.Sprintf("The cloth %s stands %.1f mm off %s, pressed in as well as it goes; %.0f g of resin or air fill that.", p.Name, 1000*b.gap, where, 1000*b.resin),
		why,
		fmt.Sprintf("Fill the hollow to %.0f mm or more (mould.fillet), or lay thickened resin or a strand of fibre in first.", 1000*(least+under)),
		1000*b.gap, 1000*standsOff, "mm")
}

// judgeTight tells where cloth that is not pressed in by hand would stand off.
func (w *work) judgeTight(out *Result, hollows []Hollow) {
	if len(hollows) == 0 || hollows[0].Gap <= standsOff {
		return
	}
	h := hollows[0]
	out.add(fault.Note, "press-hollows",
		fmt.Sprintf("Laid straight across, cloth would stand %.1f mm off the hollow at %s and not be drawn in by the vacuum.", 1000*float64(h.Gap), mm(vec(h.At))),
		fmt.Sprintf("friction under the bag holds it at a radius of %.0f mm whatever the vacuum; it lacks %.1f mm of cloth from the sides", 1000*float64(h.Tight), 1000*float64(h.Feed)),
		"Press each ply into the hollow before going on beyond it, and lay a pleat of the bag there; look again while the vacuum is low.",
		1000*float64(h.Gap), 1000*standsOff, "mm")
}

func vec(a [3]float64) r3.Vec { return r3.Vec{X: a[0], Y: a[1], Z: a[2]} }

func triple(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }
