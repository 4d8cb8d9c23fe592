package plies

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/hollow"
)

// usualDryThick stands in where a fabric's record has no thickness, m: common
// practice.
const usualDryThick = 0.25e-3

// standsOff is the gap from which on a hollow is worth a word: about a ply's
// thickness, common practice.
const standsOff = si.Length(0.25e-3)

// thickness is that of a ply, cured where it is known.
func thickness(p PlyIn) si.Length {
	if p.Thickness > 0 {
		return p.Thickness
	}
	return p.Fabric.DryThick.Or(usualDryThick)
}

// hollows finds where the plies bridge the part.
func (w *work) hollows() []hollow.Hollow {
	var stack []hollow.Ply
	for _, p := range w.in.Plies {
		stack = append(stack, hollow.Ply{Least: p.Fabric.MinRadius.Or(0), Thickness: thickness(p)})
	}
	return hollow.Find(w.top, stack, or(w.in.Spec.TrimAllowance, usualAllowance))
}

// below returns what lies under the last ply of a cloth.
func (w *work) below(name string) (under si.Length) {
	sum := si.Length(0)
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
func (w *work) judgeHollow(out *Result, p PlyIn, hollows []hollow.Hollow) {
	least, under := p.Fabric.MinRadius.Or(0), w.below(p.Name)
	b := hollow.Pressed(hollows, least, under, standsOff)
	if b.Places == 0 {
		return
	}
	where := "the hollow at " + mm(b.At)
	if b.Places > 1 {
		where = fmt.Sprintf("%d hollows, most at %s", b.Places, mm(b.At))
	}
	why := fmt.Sprintf("the cloth goes into a radius of %.1f mm by hand, and its last ply finds %.1f mm there", 1000*float64(least), 1000*float64(b.Radius))
	if under == 0 {
		why = fmt.Sprintf("the cloth goes into a radius of %.1f mm by hand, and the hollow has %.1f mm", 1000*float64(least), 1000*float64(b.Radius))
	}
	out.add(fault.Caution, "cloth-bridges",
		fmt.Sprintf("The cloth %s stands %.1f mm off %s, pressed in as well as it goes; %.0f g of resin or air fill that.", p.Name, 1000*float64(b.Gap), where, 1000*float64(b.Resin)),
		why,
		fmt.Sprintf("Fill the hollow to %.0f mm or more (mould.fillet), or lay thickened resin or a strand of fibre in first.", 1000*float64(least+under)),
		1000*float64(b.Gap), 1000*float64(standsOff), "mm")
}

// judgeTight tells where cloth that is not pressed in by hand would stand off.
func (w *work) judgeTight(out *Result, hollows []hollow.Hollow) {
	if len(hollows) == 0 || hollows[0].Gap <= standsOff {
		return
	}
	h := hollows[0]
	out.add(fault.Note, "press-hollows",
		fmt.Sprintf("Laid straight across, cloth would stand %.1f mm off the hollow at %s and not be drawn in by the vacuum.", 1000*float64(h.Gap), mm(vec(h.At))),
		fmt.Sprintf("friction under the bag holds it at a radius of %.0f mm whatever the vacuum; it lacks %.1f mm of cloth from the sides", 1000*float64(h.Tight), 1000*float64(h.Feed)),
		"Press each ply into the hollow before going on beyond it, and lay a pleat of the bag there; look again while the vacuum is low.",
		1000*float64(h.Gap), 1000*float64(standsOff), "mm")
}

func vec(a [3]float64) r3.Vec { return r3.Vec{X: a[0], Y: a[1], Z: a[2]} }

func triple(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }
