package strength

import (
	"fmt"
	"math"
	"strings"

	"laywright/internal/base/fault"
	"laywright/internal/stage/joint"
)

// noteHeld says what holds the part is asked for, and what was taken of it.
func (r *Result) noteHeld(in *Input, h *holding) {
	r.noteFasteners()
	r.noteSpacing(in)
	r.noteBond(in, h)
	r.noteOrders(in)
	r.noteAssumed(in, h)
}

// noteGrowth says how far the part and what holds it grow apart.
func (r *Result) noteGrowth(in *Input, s *stacks) {
	hot := in.Cases[0]
	for _, c := range in.Cases {
		if math.Abs(float64(c.DT)) > math.Abs(float64(hot.DT)) {
			hot = c
		}
	}
	b := in.Mesh.Bounds()
	long := 1e3 * max(b.Max.X-b.Min.X, b.Max.Y-b.Min.Y, b.Max.Z-b.Min.Z)
	own := in.expansion(s) * float64(hot.DT) * long
	if in.Ground.Expansion == nil {
		metal, _ := joint.GroundOf("aluminium")
		f := r.find(fault.Note, "growth-assumed", fmt.Sprintf("What holds the part is taken to grow along with it as it warms; aluminium would grow %.2f mm over its %.0f mm, the part grows %.2f mm.",
			float64(metal.Expansion)*float64(hot.DT)*long, long, own),
			"The job does not say what the part is fastened to. Held on something that grows otherwise, it is stretched or squeezed by the difference.",
			"Write part.held.on: aluminium, or what it is, to count that stress.")
		*f = f.Against(1e3*float64(metal.Expansion)*float64(hot.DT), 1e3*own/long, "mm/m")
		return
	}
	f := r.find(fault.Note, "ground-grows", fmt.Sprintf("Warm, what holds the part grows %.2f mm over its %.0f mm, the part would grow %.2f mm: the difference is counted as stress.", hot.growth*long, long, own),
		"A part that is held can't grow as it would.", "Let screws have room in their holes, or fasten it to something that grows alike, where the margin is small.")
	*f = f.Against(1e3*hot.growth, 1e3*own/long, "mm/m")
}

// noteFasteners tells of the fastener that asks most of the laminate.
func (r *Result) noteFasteners() {
	at := -1
	for i, f := range r.Fasteners {
		if f.Margin != nil && (at < 0 || *f.Margin < *r.Fasteners[at].Margin) {
			at = i
		}
	}
	if at < 0 || *r.Fasteners[at].Margin >= 0 {
		return
	}
	l := r.Fasteners[at]
	f := r.find(fault.Stop, "bearing-low", fmt.Sprintf("The laminate round fastener %d does not stand %.3g times its load: %s, %.0f N pull and %.0f N across in %q.",
		at+1, r.Factor, l.Mode, float64(l.Pull), float64(l.Shear), l.Case),
		fmt.Sprintf("The hole's wall bears %.0f MPa; strengths are the means of the cloths', for bearing as in compression where the job gives none.", float64(l.Bearing)/1e6),
		"Set more fasteners, a larger head or washer, or a doubler under them.")
	*f = f.Against(*l.Margin, 0, "")
}

// How near to an edge and to one another holes may be, in diameters. Edge: common
// practice for laminates, no source; in tests of glass laminates 4 ahead of the load
// and 2.5 beside it were enough whatever the cloth. Source: [werren1951]. Pitch: common
// practice, no source.
const (
	edgeDiameters  = 3
	pitchDiameters = 4
	rounded        = 1e-6 // of a place that is meant to lie just so far
)

// noteSpacing tells of holes too near to an edge or to one another.
func (r *Result) noteSpacing(in *Input) {
	edge, pitch := math.Inf(1), math.Inf(1)
	var nearest, closest int
	for i, f := range r.Fasteners {
		d := float64(in.Fasteners[i].Diameter)
		if x := float64(f.Edge) / d; x < edge {
			edge, nearest = x, i
		}
		if f.Pitch != nil && float64(*f.Pitch)/d < pitch {
			pitch, closest = float64(*f.Pitch)/d, i
		}
	}
	if edge < edgeDiameters-rounded {
		f := r.find(fault.Caution, "edge-distance-short", fmt.Sprintf("Fastener %d sits %.1f mm from an edge, %.1f of its diameters.", nearest+1, 1e3*float64(r.Fasteners[nearest].Edge), edge),
			"The laminate between a hole and its edge shears out. Common practice is three diameters; tests of glass laminates called for 4 ahead of the load and 2.5 beside it.",
			fmt.Sprintf("Move it in by %.1f mm, or the edge out.", 1e3*(edgeDiameters-edge)*float64(in.Fasteners[nearest].Diameter)))
		*f = f.Against(edge, edgeDiameters, "")
	}
	if pitch < pitchDiameters-rounded {
		f := r.find(fault.Caution, "fasteners-close", fmt.Sprintf("Fastener %d sits %.1f mm from its neighbour, %.1f of its diameters.", closest+1, 1e3*float64(*r.Fasteners[closest].Pitch), pitch),
			"What is left between holes tears; their stresses add up.", "Space them four diameters or more.")
		*f = f.Against(pitch, pitchDiameters, "")
	}
}

// noteBond tells of a bond line that is asked too much.
func (r *Result) noteBond(in *Input, h *holding) {
	b := r.Bond
	if b == nil || b.Margin >= 0 {
		return
	}
	grave := fault.Caution
	if b.meanShare > 1 {
		grave = fault.Stop
	}
	a := h.land.adhesive
	stretch := b.stretch
	both := joint.Double{Inner: stretch, Outer: stretch / 2, Adhesive: a, Elastic: float64(a.Shear / a.G)}
	f := r.find(grave, "lap-shear-low", fmt.Sprintf("The bond of the flange does not stand %.3g times its load by its elastic peaks: %.1f MPa in shear, %.1f MPa in peel at (%.0f, %.0f, %.0f) mm in %q.",
		r.Factor, float64(b.Shear)/1e6, float64(b.Peel)/1e6, 1e3*b.At[0], 1e3*b.At[1], 1e3*b.At[2], b.Case),
		fmt.Sprintf("%.1f N/mm go over on %.0f mm, %.2f MPa in the mean; the peaks at the ends do not fall with more width. An adhesive that yields evens them out, but creeps when warm.",
			float64(b.Load)/1e3, 1e3*float64(b.Width), float64(b.Mean)/1e6),
		fmt.Sprintf("Set screws beside the bond, hold it to something that grows alike, thicken the bond line, or taper the flange's end; a strap on both sides would bear %.0f N/mm over %.0f mm.",
			float64(both.Bears())/1e3, 1e3*float64(both.Overlap(b.Load))))
	*f = f.Against(b.Margin, 0, "")
}

// apartEnough is how far a frequency is to stand off an engine's orders. Common
// practice, no source.
const apartEnough = 0.2

// noteOrders tells of an engine that shakes the part at its own frequency.
func (r *Result) noteOrders(in *Input) {
	if in.Engine == nil || r.Frequency == nil {
		return
	}
	near, least := joint.Order{}, math.Inf(1)
	for _, o := range in.Engine.Orders() {
		if apart := in.Engine.Apart(*r.Frequency, o); apart < least {
			near, least = o, apart
		}
	}
	r.OffOrder = &least
	if least >= apartEnough {
		return
	}
	low, high := near.PerTurn*float64(in.Engine.Low), near.PerTurn*float64(in.Engine.High)
	f := r.find(fault.Caution, "frequency-near-order", fmt.Sprintf("The part swings at %.0f Hz; %s shakes it at %.0f to %.0f Hz.", float64(*r.Frequency), near.Name, low, high),
		"A part that is shaken at its own frequency swings until it cracks or loosens.",
		fmt.Sprintf("Stiffen it to swing above %.0f Hz, or hold it nearer; tap it in place and listen.", (1+apartEnough)*high))
	*f = f.Against(least, apartEnough, "")
}

// noteAssumed lists what was taken of the fastening where the job is silent.
func (r *Result) noteAssumed(in *Input, h *holding) {
	var taken, do []string
	take := func(unknown bool, what, key string) {
		if unknown {
			taken, do = append(taken, what), append(do, key)
		}
	}
	s := in.Screwed
	if len(in.Fasteners) > 0 {
		take(s.Stiffness == 0, fmt.Sprintf("a fastener gives by 1 mm under %.1f kN across", float64(r.Fasteners[0].Stiffness)/1e6), "fasteners.stiffness")
		take(s.Stiffness == 0 && (in.Ground.E == 0 || in.Ground.Thickness == 0), "what holds it is as stiff and as thick as the wall where that is not told", "on and sheet")
		take(s.Head == 0, "heads are twice as wide as their holes", "fasteners.head")
		take(s.Bearing == 0, "a hole bears what the laminate does in compression", "fasteners.bearing")
	}
	if h.land != nil {
		a, b := h.land.adhesive, in.Flange.Adhesive
		take(b.Shear == 0 || b.Tension == 0, fmt.Sprintf("the adhesive stands %.0f MPa in shear and %.0f MPa across", float64(a.Shear)/1e6, float64(a.Tension)/1e6), "flange.shear and flange.tension")
		take(b.G == 0, fmt.Sprintf("it has moduli of %.3g MPa in shear and %.3g MPa across", float64(a.G)/1e6, float64(a.E)/1e6), "flange.G and flange.E")
		take(b.G > 0 && b.E == 0, fmt.Sprintf("it is %.2g times as stiff across as in shear", stretchy), "flange.E")
		take(b.Thickness == 0, fmt.Sprintf("the bond line is %.1f mm thick", 1e3*float64(a.Thickness)), "flange.bond_line")
	}
	if len(taken) > 0 {
		r.find(fault.Note, "hold-assumed", "Taken of what holds the part: "+strings.Join(taken, "; ")+".",
			"The job does not say. What a fastener gives is by Huth's formula for bolts in laminate without play; the rest is typical.",
			"Write what you know under part.held: "+strings.Join(do, ", ")+".")
	}
}
