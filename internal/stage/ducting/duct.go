package ducting

import (
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// usualPitch is the pitch of the wire in aircraft hose, 1/4 in; common practice, no source.
const usualPitch si.Length = 6.35e-3

// Duct is one piece of ducting, in series with the others. Exactly one of hose,
// round and rectangle.
type Duct struct {
	Hose      si.Length   `yaml:"hose" above:"0"`  // bore of a convoluted hose
	Round     si.Length   `yaml:"round" above:"0"` // bore of a smooth tube
	Rectangle *Rectangle  `yaml:"rectangle"`
	Length    si.Length   `yaml:"length" least:"0" most:"100"`
	Bends     []si.Angle  `yaml:"bends"`
	Mitred    bool        `yaml:"mitred"`                     // bends are sharp
	Pitch     si.Length   `yaml:"pitch" above:"0"`            // of a hose's convolutions; absent: [usualPitch]
	Slack     si.Fraction `yaml:"slack" least:"0" most:"0.5"` // how far a hose is short of its full stretch
	Roughness si.Length   `yaml:"roughness" least:"0"`        // absent: smooth tube
	Place     Side        `yaml:"place"`                      // absent: after
	Count     int         `yaml:"count" least:"1" most:"50"`  // equal ducts side by side; absent: 1
	Beside    bool        `yaml:"beside"`                     // true: it parts from the air of the one before it in the list and rejoins it
}

// Rectangle is the inside of a rectangular duct.
type Rectangle struct {
	Width  si.Length `yaml:"width" above:"0"`
	Height si.Length `yaml:"height" above:"0"`
}

// Side says whether a duct stands before or after the heater.
type Side string

// The sides. Behind the heater the air is hot and thin, so losses are greater.
const (
	Before Side = "before"
	After  Side = "after"
)

// Wye parts the air behind the last duct among branches, each of which ends in the
// cabin. Where there is no duct behind the heater the branches leave the box itself.
type Wye struct {
	Angle    *si.Angle `yaml:"angle" least:"0" most:"1.5708"` // between the stem and each branch; absent: [usualAngle]
	Branches []Branch  `yaml:"branches"`
}

// Branch is one way on.
type Branch struct {
	Name  string `yaml:"name"`
	Ducts []Duct `yaml:"ducts"`
}

// What is taken where a wye says nothing, and how many branches it may have.
const (
	usualAngle   si.Angle = math.Pi / 6
	mostBranches          = 6
)

// section is the inside of a duct: flow area, hydraulic diameter, and the friction it has.
type section struct {
	area, hydraulic float64                  // area of all side by side, diameter of one
	widest          float64                  // area of the widest single duct
	friction        func(re float64) float64 // Darcy
	bend            float64                  // of 90 degrees
	slender, turns  float64                  // length over hydraulic diameter; K of all bends
	ways            []section                // of ducts side by side, where they are unlike; the area is then that of all
}

// lay checks a duct and works out its inside. field is its path.
func lay(d Duct, field string) (section, error) {
	kinds := 0
	for _, given := range []bool{d.Hose != 0, d.Round != 0, d.Rectangle != nil} {
		if given {
			kinds++
		}
	}
	if kinds != 1 {
		return section{}, &fault.Input{Field: field, What: "is not one kind of duct", Do: "give exactly one of hose, round and rectangle"}
	}
	if d.Place != "" && d.Place != Before && d.Place != After {
		return section{}, &fault.Input{Field: field + ".place", What: "is " + string(d.Place), Do: "write before or after (the heater)"}
	}
	s := shape(d)
	for _, err := range []error{
		fault.Check(field, s.hydraulic*1000, 5, 2000, " mm", "bore of a duct"),
		fault.Check(field+".length", float64(d.Length), 0, 100, " m", "a duct in an aircraft"),
		fault.Check(field+".slack", float64(d.Slack), 0, 0.5, "", "a hose pushed shorter than half has no data"),
		fault.Check(field+".roughness", float64(d.Roughness)*1000, 0, s.hydraulic*50, " mm", "less than a twentieth of the bore"),
		fault.Check(field+".pitch", float64(d.Pitch)*1000, 0, s.hydraulic*1000, " mm", "convolutions closer than the bore"),
		fault.Check(field+".count", float64(d.Count), 0, 50, "", "ducts side by side"),
	} {
		if err != nil {
			return section{}, err
		}
	}
	for i, b := range d.Bends {
		if err := fault.Check(fault.Numbered(field+".bends", i), b.Degrees(), 0, 180, " deg", "a bend"); err != nil {
			return section{}, err
		}
		s.turns += s.bend * angleShare(b)
	}
	s.widest = s.area / math.Max(1, float64(d.Count))
	s.slender = float64(d.Length) / s.hydraulic
	return s, nil
}

func shape(d Duct) section {
	count := math.Max(1, float64(d.Count))
	round := func(bore float64) section {
		return section{area: count * math.Pi / 4 * bore * bore, hydraulic: bore, bend: tubeBend}
	}
	var s section
	relative := func(re float64) float64 { return Darcy(re, float64(d.Roughness)/s.hydraulic) }
	switch {
	case d.Hose != 0:
		s = round(float64(d.Hose))
		pitch := d.Pitch
		if pitch == 0 {
			pitch = usualPitch
		}
		f := HoseFriction(s.hydraulic, float64(pitch)) * Crumple(d.Slack, d.Hose)
		s.friction, s.bend = func(float64) float64 { return f }, hoseBend
	case d.Round != 0:
		s = round(float64(d.Round))
		s.friction = relative
	default:
		a, b := float64(d.Rectangle.Width), float64(d.Rectangle.Height)
		s = section{area: count * a * b, hydraulic: HydraulicDiameter(a, b), bend: tubeBend, friction: relative}
	}
	if d.Mitred {
		s.bend = Mitre
	}
	return s
}

// Scaled returns the ducts with all their bores and sides times a factor.
func Scaled(ducts []Duct, by float64) []Duct {
	out := make([]Duct, len(ducts))
	for i, d := range ducts {
		d.Hose, d.Round = d.Hose*si.Length(by), d.Round*si.Length(by)
		if d.Rectangle != nil {
			d.Rectangle = &Rectangle{d.Rectangle.Width * si.Length(by), d.Rectangle.Height * si.Length(by)}
		}
		out[i] = d
	}
	return out
}

// Scaled returns the wye with all its branches so; nil for nil.
func (w *Wye) Scaled(by float64) *Wye {
	if w == nil {
		return nil
	}
	out := &Wye{Angle: w.Angle}
	for _, b := range w.Branches {
		out.Branches = append(out.Branches, Branch{b.Name, Scaled(b.Ducts, by)})
	}
	return out
}
