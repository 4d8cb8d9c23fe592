package mould

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/solid"
)

// sweep checks and makes a duct.
func (b *shape) sweep(field string, s *Sweep) (solid.Solid, error) {
	path := s.Path.P
	if len(path) < 2 {
		return nil, &fault.Input{Field: field + ".path", What: "a path needs two points or more", Do: "write {unit: mm, points: [[0,0,0],[100,0,0]]}"}
	}
	for i, p := range path[1:] {
		if d := r3.Norm(r3.Sub(p, path[i])); !(smallest <= d && d <= largest) {
			return nil, &fault.Input{Field: field + ".path", What: fmt.Sprintf("points %d and %d are %.4g mm apart", i+1, i+2, 1e3*d), Do: "set them farther apart"}
		}
	}
	from, wide, err := b.section(field+".from", s.From)
	if err != nil {
		return nil, err
	}
	to := from
	if s.To != nil {
		var w float64
		if to, w, err = b.section(field+".to", *s.To); err != nil {
			return nil, err
		}
		wide = max(wide, w)
	}
	if len(path) > 2 && !(float64(s.Bend) > wide) {
		return nil, &fault.Range{Field: field + ".bend", Value: 1e3 * float64(s.Bend), Min: 1e3 * wide, Max: 1e3 * largest, Unit: " mm", Why: "a bend tighter than the section reaches folds its inside"}
	}
	made, corner := solid.NewSweep(path, float64(s.Bend), from, to, wide)
	if corner >= 0 {
		return nil, &fault.Input{Field: field + ".path", What: fmt.Sprintf("there is no room for the bend at point %d", corner+1), Do: "make the bend less or the legs longer"}
	}
	b.ducts = append(b.ducts, &duct{made, made, field, s.To != nil})
	return made, nil
}

// duct is a solid whose ends may be open, under its place in the job file.
type duct struct {
	solid.Solid
	pipe   pipe
	field  string
	alters bool // its section does, along its path
}

// pipe is a solid with ends that can be lengthened.
type pipe interface {
	Ends() []solid.End
	Lead(end int, length float64)
	Rim(end int, out float64, n int) []r3.Vec
}

// section returns an outline and how far it reaches from its middle.
func (b *shape) section(field string, s Section) (solid.Section, float64, error) {
	given := 0
	for _, there := range []bool{s.Circle != nil, s.Ellipse != nil, s.Rectangle != nil} {
		if there {
			given++
		}
	}
	switch {
	case given != 1:
		return nil, 0, &fault.Input{Field: field, What: "a section is a circle, an ellipse or a rectangle", Do: "write one of them"}
	case s.Circle != nil:
		d := float64(*s.Circle)
		return solid.Oval(d/2, d/2), d / 2, b.measure(field+".circle", d)
	case s.Ellipse != nil:
		x, y := float64(s.Ellipse.Width), float64(s.Ellipse.Height)
		return solid.Oval(x/2, y/2), max(x, y) / 2, b.measures(field+".ellipse", []string{"width", "height"}, x, y)
	}
	r := s.Rectangle
	x, y, c := float64(r.Width), float64(r.Height), float64(r.Corner)
	if err := b.measures(field+".rectangle", []string{"width", "height"}, x, y); err != nil {
		return nil, 0, err
	}
	return solid.Rounded(x/2, y/2, c), math.Hypot(x, y) / 2, rounding(field+".rectangle.corner", c, min(x, y)/2, "a corner can be rounded by half the width at most")
}

// openEnds lengthens ducts beyond ends that lie in the open, so that the trim
// there cuts a plain tube. An end that stands on the base plane goes on below
// it; one inside another solid, or with filler over its rim, stays closed.
func (b *shape) openEnds(size float64) {
	for _, d := range b.ducts {
		for k, e := range d.pipe.Ends() {
			if e.At.Z <= 1e-9 || b.onBoard(e.At) {
				d.pipe.Lead(k, 4*b.least)
				continue
			}
			if b.within(e.At, d.Solid) {
				continue
			}
			lead := leadCells * b.cell(size)
			d.pipe.Lead(k, lead)
			if b.buried(d.pipe, k, lead) {
				d.pipe.Lead(k, 0)
				b.closed = append(b.closed, e.At)
				continue
			}
			b.ends = append(b.ends, mouth{e, d.reach(k, e.At), lead})
			tip := r3.Add(e.At, r3.Scale(lead, e.Out))
			b.bounds = solid.Join(b.bounds, r3.Box{Min: tip, Max: tip})
		}
	}
}

// leadCells is how many cells of the first grid a sweep goes on beyond an open
// end: enough for the grid to see a tube on both sides of the cut.
const leadCells = 4

// within tells whether p lies in a solid other than s.
func (b *shape) within(p r3.Vec, s solid.Solid) bool {
	for _, other := range b.solids {
		if d, _ := other.At(p); other != s && d < 0 {
			return true
		}
	}
	return false
}

// buried tells whether filler or another solid covers some of the tube from
// end k of a duct to the tip of its lead. There the cut would open the
// filler and the ground before it too.
func (b *shape) buried(s pipe, k int, lead float64) bool {
	const round, stations = 72, 4
	for i := range stations {
		for _, p := range s.Rim(k, lead*float64(i)/stations, round) {
			if d, _ := b.joined.At(p); d < -1e-6 {
				return true
			}
		}
	}
	return false
}

// judgeEnds tells of ends of ducts that stay closed.
func (r *Result) judgeEnds(closed []r3.Vec) {
	for _, at := range closed {
		r.find(fault.Caution, "duct-end-closed", "The end of the duct at "+placeText(at)+" is not open: filler or another solid covers its rim.",
			"an end is cut open only where the wall round it is plain", "Move the duct away from what stands near its end, make mould.fillet less, or cut the end open under part.cutouts, a little smaller than the duct.")
	}
}

// Duct is the area law of a sweep: what the air finds along it.
type Duct struct {
	Solid   string      `json:"solid"` // in the job file
	Along   []si.Length `json:"along_m"`
	Area    []si.Area   `json:"area_m2"`
	Least   si.Area     `json:"least_area_m2"`
	LeastAt []float64   `json:"least_at_m"`
}

// lawPlaces is how many sections of a duct are told.
const lawPlaces = 21

// narrows is the share of the smaller end below which a duct counts as narrowed:
// less is within what a sander takes off.
const narrows = 0.98

// judgeDucts tells the area of each sweep along its path, and where it narrows
// below both ends.
func (r *Result) judgeDucts(ducts []*duct) {
	for _, d := range ducts {
		s, ok := d.pipe.(*solid.Sweep)
		if !ok {
			continue
		}
		law := s.Law(lawPlaces)
		out := Duct{Solid: d.field, Least: si.Area(law.Area[law.Least])}
		for i, x := range law.Along {
			out.Along, out.Area = append(out.Along, si.Length(x)), append(out.Area, si.Area(law.Area[i]))
		}
		at := s.Point(law.Along[law.Least])
		out.LeastAt = at[:]
		r.Ducts = append(r.Ducts, out)
		least, end := law.Area[law.Least], min(law.Area[0], law.Area[lawPlaces-1])
		if least < narrows*end {
			r.findAgainst(fault.Finding{Severity: fault.Caution, Code: "duct-narrows",
				What: fmt.Sprintf("The duct narrows to %.1f cm² %.0f mm along it; its smaller end has %.1f cm².", 1e4*least, 1e3*law.Along[law.Least], 1e4*end),
				Why:  "an even change between two unlike sections draws them in on the way, and air loses pressure in a throat",
				Do:   "Put a round or wider section between the two, as two sweeps end to end."}, 1e4*least, 1e4*end, "cm^2")
		}
	}
}
