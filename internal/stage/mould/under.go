package mould

import (
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/stand"
)

// Service is what a mould goes through: known once bag and cure are.
type Service struct {
	Vacuum    si.Pressure // difference between outside and the bag
	Barometer si.Pressure
	Envelope  bool // the bag goes round the mould
	Shop      si.Temperature
	Course    Course // of the laminate on the mould; no times: no cure is planned
	Hottest   si.Temperature
	Part      Wall
}

// Course is a cure as the mould feels it.
type Course = stand.Course

// Matter is what a body is made of.
type Matter = stand.Matter

// Wall is the cured part as it grips the mould.
type Wall struct {
	Expansion si.Expansion // mean of both ways
	E         si.Pressure  // likewise
	Thickness si.Length
	Known     bool
}

// Stood is how the mould comes through.
type Stood struct {
	Pressed  si.Pressure     `json:"pressed_Pa"`         // what bears on the body; 0: the air stands on both sides of it
	Bears    *si.Pressure    `json:"bears_Pa,omitempty"` // for hours, as hot as it gets
	Gives    string          `json:"gives,omitempty"`    // the way in which it would
	Margin   *float64        `json:"margin,omitempty"`   // bears/pressed
	Hottest  *si.Temperature `json:"hottest_degC,omitempty"`
	SetsAt   *si.Temperature `json:"part_sets_at_degC,omitempty"`  // where the part takes its size
	Grows    *[3]si.Length   `json:"grows_m,omitempty"`            // the mould, from the shop to the hottest, over the part's size along x, y, z
	PastPart *[3]si.Length   `json:"grows_past_part_m,omitempty"`  // beyond the part, from where that set to the hottest; negative: the part grows more
	Larger   *[3]si.Length   `json:"part_larger_m,omitempty"`      // the cold part than the cold mould; negative: smaller
	Stress   *si.Pressure    `json:"stress_in_heat_Pa,omitempty"`  // along the part where it closes round the mould
	Leak     *si.VolumeFlow  `json:"leak_bare_m3_per_s,omitempty"` // air of outside through the bare, unsealed body

	Findings []fault.Finding `json:"-"`
}

// Under judges the mould under the vacuum and in the heat of the cure.
func (r *Result) Under(c Service) *Stood {
	if r.Stand == nil {
		return nil
	}
	out := &Stood{}
	out.push(r.Stand, c)
	out.leak(r, c)
	out.grow(r.Stand, c)
	for i := range out.Findings {
		out.Findings[i].Stage = "mould"
	}
	return out
}

// Margins on what a body bears: below tight it is told, below 1 it stops. The
// records' strengths spread by a quarter.
const tight = 1.5

// taped tells whether the bag is sealed to the mould's own face beside the part.
func (s *Standing) taped(c Service) bool {
	return !c.Envelope && (s.Land == nil || *s.Land >= landNeeded)
}

// push sets what presses on the body. A bag taped to the mould's own sealed face
// leaves the air on both sides of it. One that goes round, or down to a plate under
// the mould, takes the air out of it, and outside presses with all of the vacuum;
// a skin that lies in an envelope face and back, as a cavity's does, is only
// squeezed through its thickness.
func (o *Stood) push(s *Standing, c Service) {
	if s.taped(c) || s.Body == SheetBody || s.Body == NoBody || s.Body == SkinBody && !s.plug {
		return
	}
	o.Pressed = c.Vacuum
	at := c.Hottest
	if at == 0 {
		at = c.Shop
	}
	modes := s.modes(at)
	if len(modes) == 0 {
		o.unknown(s)
		return
	}
	weakest := modes[0]
	for _, m := range modes {
		if m.Bears < weakest.Bears {
			weakest = m
		}
	}
	margin := float64(weakest.Bears) / float64(o.Pressed)
	o.Bears, o.Gives, o.Margin = &weakest.Bears, weakest.Name, &margin
	if margin >= tight {
		return
	}
	f := fault.Finding{Severity: fault.Caution, Code: "mould-crushed",
		What: fmt.Sprintf("The vacuum may crush the mould: at %.0f degC %s at %.0f kPa, and %.0f kPa press on it.", at.Celsius(), weakest.Name, 1e-3*float64(weakest.Bears), 1e-3*float64(c.Vacuum)),
		Why:  "the bag takes the air out of the mould, and what is warm creeps for hours under less than it bears for a minute",
		Do:   "Ease the vacuum, cure cooler where it is warm, tape the bag to a flange of the mould, or use a denser body."}
	if s.Body == SkinBody {
		f.Do = "Set ribs nearer or make the skin thicker (mould.body), fill the hollow, or tape the bag to a flange of the mould."
	}
	if margin < 1 {
		f.Severity = fault.Stop
	}
	o.Findings = append(o.Findings, f.Against(1e-3*float64(weakest.Bears), 1e-3*tight*float64(c.Vacuum), "kPa"))
}

// unknown says that the body is pressed and nobody knows what it bears.
func (o *Stood) unknown(s *Standing) {
	if s.Of == "" {
		return // told already: the material is not given
	}
	o.Findings = append(o.Findings, fault.Finding{Severity: fault.Note, Code: "mould-strength-unknown",
		What: fmt.Sprintf("The vacuum presses on a mould of %s, and what that bears is not known.", s.Of),
		Why:  "its record has no compression, bending_strength or E", Do: "Add them to the record, or press a piece of it in a vice under a known weight."})
}

// leak tells how air gets into the bag through the mould.
func (o *Stood) leak(r *Result, c Service) {
	s := r.Stand
	if !c.Envelope && !s.taped(c) {
		o.Findings = append(o.Findings, fault.Finding{Severity: fault.Note, Code: "bag-land-narrow",
			What: landTold(*s.Land),
			Why:  "sealant tape wants a land without wax or film, and does not hold on release",
			Do:   "Stand the mould on a sealed plate and tape the bag to that, make the flange wider than the part (part.trim), or bag it all round (bag.style: envelope)."}.
			Against(1e3*float64(*s.Land), 1e3*float64(landNeeded), "mm"))
	}
	if !s.porous || !s.taped(c) {
		return
	}
	f := fault.Finding{Severity: fault.Caution, Code: "mould-leaks",
		What: fmt.Sprintf("Air comes through bare %s into a bag that is taped to its face.", s.Of),
		Why:  "outside air stands behind the whole mould, and one pinhole in the seal lets it in under the part",
		Do:   "Seal face and edges until the bare mould holds: at most 1 inHg lost in a minute with the pump shut off. Else bag it all round (bag.style: envelope)."}
	if s.leak > 0 {
		q := stand.Leak(s.leak, r.Area, s.Thickness, c.Barometer, c.Barometer-c.Vacuum)
		o.Leak = &q
		f.What = fmt.Sprintf("Bare %s would let about %.4g litres of air a minute into a bag that is taped to its face.", s.Of, twoDigits(6e4*float64(q)))
	}
	o.Findings = append(o.Findings, f)
}

// landTold says what is left beside the part; what rounds to no millimetre is nothing.
func landTold(land si.Length) string {
	if land < 0.5e-3 {
		return "The part runs to the mould's edge: there is nothing to tape the bag to."
	}
	return fmt.Sprintf("The mould leaves %.0f mm beside the part to tape the bag to.", 1e3*float64(land))
}

// twoDigits rounds to two significant digits.
func twoDigits(x float64) float64 {
	if !(x > 0) {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Round(x/unit) * unit
}

// strainBorne is the strain that a part may be stretched by on its mould: half of
// what brittle resin bears across fibres, 0.4 to 0.6 % (from memory).
const strainBorne = 2e-3

// worthTelling is the difference of size, m, that a fit can feel.
const worthTelling = 0.3e-3

// grow compares how mould and part grow.
func (o *Stood) grow(s *Standing, c Service) {
	if c.Hottest == 0 || s.Expansion == nil {
		return
	}
	o.Hottest = &c.Hottest
	α := *s.Expansion
	var grows [3]si.Length
	for i, l := range s.Size {
		grows[i] = stand.Grows(α, l, si.TemperatureDifference(c.Hottest-c.Shop))
	}
	o.Grows = &grows
	sets, ok := c.Course.Sets()
	if !ok || !c.Part.Known {
		return
	}
	o.SetsAt = &sets
	var past, larger [3]si.Length
	for i, l := range s.Size {
		past[i] = stand.Grows(α-c.Part.Expansion, l, si.TemperatureDifference(max(c.Hottest, sets)-sets))
		larger[i] = stand.Grows(α-c.Part.Expansion, l, si.TemperatureDifference(sets-c.Shop))
	}
	o.PastPart, o.Larger = &past, &larger
	o.grip(s, c, sets)
	o.size(s, c, sets)
}

// grip tells what the mould's growth does to a part that closes round it.
func (o *Stood) grip(s *Standing, c Service, sets si.Temperature) {
	strain := float64(*s.Expansion-c.Part.Expansion) * float64(max(c.Hottest, sets)-sets)
	if !s.walls || !(c.Part.E > 0) || s.skin != nil || !s.plug {
		return
	}
	plug := s.matter
	plug.E = si.Pressure(float64(plug.E) * plug.Share(c.Hottest))
	if plug.E == 0 {
		plug.E = s.matter.E
	}
	ring := stand.Ring{Radius: (s.Size[0] + s.Size[1]) / 4, Thick: c.Part.Thickness, E: c.Part.E}
	stress, _ := ring.Stretch(strain, plug)
	o.Stress = &stress
	if borne := float64(stress) / float64(c.Part.E); borne > strainBorne {
		o.Findings = append(o.Findings, fault.Finding{Severity: fault.Caution, Code: "mould-stretches-part",
			What: fmt.Sprintf("In the heat the mould grows past the part and stretches it by %.2f %%, a pull of %.0f MPa.", 100*borne, 1e-6*float64(stress)),
			Why:  fmt.Sprintf("the part set at %.0f degC, and the mould goes on growing to %.0f degC", sets.Celsius(), c.Hottest.Celsius()),
			Do:   "Take the part off before the post-cure, cure cooler, or use a mould that grows less."}.Against(100*borne, 100*strainBorne, "%"))
	}
}

// size tells by how much the cold part differs from the cold mould.
func (o *Stood) size(s *Standing, c Service, sets si.Temperature) {
	worst, axis := si.Length(0), 0
	for i, l := range o.Larger {
		if max(l, -l) > max(worst, -worst) {
			worst, axis = l, i
		}
	}
	if max(worst, -worst) < worthTelling {
		return
	}
	word := "larger"
	if worst < 0 {
		word = "smaller"
	}
	o.Findings = append(o.Findings, fault.Finding{Severity: fault.Note, Code: "size-in-heat",
		What: fmt.Sprintf("Along %s the cold part comes out %.1f mm %s than the cold mould.", string("xyz"[axis]), 1e3*float64(max(worst, -worst)), word),
		Why:  fmt.Sprintf("it takes its size at %.0f degC, where it last was soft on the mould, and shrinks by other measure than the mould as both cool", sets.Celsius()),
		Do:   "Gel it at shop temperature and heat it slowly after, or carve the mould to suit."}.
		Against(1e3*float64(max(worst, -worst)), 1e3*worthTelling, "mm"))
}
