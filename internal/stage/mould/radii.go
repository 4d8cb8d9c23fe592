package mould

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/radius"
)

// Radii is where the part's surface bends too tightly for the cloths of the stack,
// and how it is curved.
type Radii struct {
	MinOuter   *si.Length    `json:"min_outer_radius_m,omitempty"` // absent where nothing bulges
	MinOuterAt []float64     `json:"min_outer_at_m,omitempty"`
	Hollows    []radius.Line `json:"tight_hollows,omitempty"` // that cloth bridges
	Edges      []radius.Line `json:"tight_edges,omitempty"`   // that cloth lifts off or breaks over
	Filler     si.Volume     `json:"filler_m3,omitempty"`     // that fills all tight hollows to what the cloths want
	Shape      radius.Areas  `json:"shape"`                   // the part's surface by class
	Fillets    si.Length     `json:"hollow_lines_m,omitempty"`

	Limits []radius.Cloth `json:"-"` // that they are held against
}

// What [Radii] is made of, for those who draw it.
type (
	TightLine = radius.Line
	Curvature = radius.Surface
)

// widestFillet is the radius up to which a hollow counts as a fillet to be drawn
// with a gauge, m; beyond, it is part of the shape. Common practice, no source.
const widestFillet = 25e-3

// judgeRadii measures the surface and holds it against the cloths.
func (r *Result) judgeRadii(in Input) {
	s := r.Curved
	r.hollowest(s)
	r.Radii.MinOuter, r.Radii.MinOuterAt = tightest(s, 1, s.High)
	r.Radii.Shape = radius.Classes(s, flatBend)
	for _, l := range radius.Hollows(s, []radius.Cloth{{Hollow: widestFillet}}) {
		r.Radii.Fillets += l.Length
	}
	cloths := make([]radius.Cloth, len(in.Fabrics))
	for i, f := range in.Fabrics {
		cloths[i] = radius.Cloth{Name: f.Name, Hollow: f.MinRadius, Outer: f.MinOuter}
	}
	r.Radii.Limits = cloths
	r.Radii.Hollows, r.Radii.Edges = radius.Hollows(s, cloths), radius.Edges(s, cloths)
	for _, l := range r.Radii.Hollows {
		r.Radii.Filler += *l.Filler
	}
	for _, c := range cloths {
		r.tellHollows(c)
		r.tellEdges(c)
	}
}

// hollowest sets the tightest hollow.
func (r *Result) hollowest(s radius.Surface) {
	bend := make([]float64, len(s.Low))
	for v, k := range s.Low {
		bend[v] = -k
	}
	r.MinHollow, r.MinHollowAt = tightest(s, -1, bend)
}

// tightest returns the least radius of all places that bend one way: 0 at the
// first sharp edge.
func tightest(s radius.Surface, sign float64, bend []float64) (*si.Length, []float64) {
	for _, e := range s.Sharp {
		if sign*s.Top.Turning(int(e)) > 0 {
			ends := s.Top.Edges[e]
			at := r3.Scale(0.5, r3.Add(s.Top.Mesh.Vertices[ends[0]], s.Top.Mesh.Vertices[ends[1]]))
			return new(si.Length), []float64{at.X, at.Y, at.Z}
		}
	}
	worst := -1
	for v, k := range bend {
		if !s.Skip[v] && k > flatBend && (worst < 0 || k > bend[worst]) {
			worst = v
		}
	}
	if worst < 0 {
		return nil, nil
	}
	l, at := si.Length(1/bend[worst]), s.Top.Mesh.Vertices[worst]
	return &l, []float64{at.X, at.Y, at.Z}
}

// tooTightFor picks those that are too tight for a cloth and adds up their length.
func tooTightFor(all []radius.Line, cloth string) (tight []radius.Line, length, filler float64) {
	for _, l := range all {
		for _, name := range l.Cloths {
			if name == cloth {
				tight, length = append(tight, l), length+float64(l.Length)
				if l.Filler != nil {
					filler += float64(*l.Filler)
				}
			}
		}
	}
	return tight, length, filler
}

func (r *Result) tellHollows(c radius.Cloth) {
	tight, length, filler := tooTightFor(r.Radii.Hollows, c.Name)
	if len(tight) == 0 {
		return
	}
	l := tight[0]
	of := fmt.Sprintf("The hollow at %s has %.1f mm", spot(l), 1e3*float64(l.Radius))
	if l.Radius == 0 {
		of = fmt.Sprintf("The hollow edge at %s is sharp", spot(l))
	}
	r.findAgainst(fault.Finding{Severity: fault.Caution, Code: "hollow-tight",
		What: fmt.Sprintf("%s, and %s goes into %.1f mm at the tightest; %s.", of, c.Name, 1e3*float64(c.Hollow), inAll(tight, length)),
		Why:  "the cloth bridges the hollow and leaves a void or plain resin behind it",
		Do:   fmt.Sprintf("Fill it to %.0f mm, about %s of filler, or lay a paste fillet before the first ply.", math.Ceil(1e3*float64(l.Wanted)), millilitres(filler))},
		1e3*float64(l.Radius), 1e3*float64(c.Hollow), "mm")
}

func (r *Result) tellEdges(c radius.Cloth) {
	tight, length, _ := tooTightFor(r.Radii.Edges, c.Name)
	if len(tight) == 0 {
		return
	}
	l := tight[0]
	of := fmt.Sprintf("has %.1f mm", 1e3*float64(l.Radius))
	if l.Radius == 0 {
		of = "is sharp"
	}
	r.findAgainst(fault.Finding{Severity: fault.Caution, Code: "edge-tight",
		What: fmt.Sprintf("The outer edge at %s %s, and %s goes round %.1f mm at the tightest; %s.", spot(l), of, c.Name, 1e3*float64(c.Outer), inAll(tight, length)),
		Why:  "stiff yarns lift beside a sharp edge and break over it, and the bag squeezes it dry",
		Do:   fmt.Sprintf("Round it off to %.1f mm or more with the block, or in the shape.", 1e3*float64(l.Wanted))},
		1e3*float64(l.Radius), 1e3*float64(c.Outer), "mm")
}

func spot(l radius.Line) string { return placeText(r3.Vec{X: l.At[0], Y: l.At[1], Z: l.At[2]}) }

func inAll(tight []radius.Line, length float64) string {
	if len(tight) == 1 {
		return fmt.Sprintf("it is %.0f mm long", 1e3*length)
	}
	return fmt.Sprintf("%d such places are %.0f mm long together", len(tight), 1e3*length)
}

// millilitres says a volume in shop words.
func millilitres(v float64) string {
	return strings.TrimSuffix(fmt.Sprintf("%.2g", max(1e6*v, 0.1)), ".0") + " ml"
}
