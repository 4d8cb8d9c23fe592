package nest

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// longestRoll is the longest that goods may be, m: more than a loom winds up.
const longestRoll = 100

// maxTilt is the most that a piece may lie askew: beyond it the ply has another angle.
const maxTilt = 10

// checkRules refuses rules and stock that mean nothing.
func (r *Roll) checkRules() error {
	for _, c := range []error{
		fault.Check("roll.tilt", r.Tilt.Degrees(), 0, maxTilt, " deg", "more is another angle of ply"),
		fault.Check("roll.table", float64(r.Table), 0, 1000, " m", "the length of the cutting table"),
		fault.Check("roll.sold_by", float64(r.SoldBy), 0, 1000, " m", "the length that the shop cuts cloth by"),
	} {
		if c != nil {
			return c
		}
	}
	for i, d := range r.Defects {
		if err := checkDefect(fault.Numbered("roll.defects", i), d); err != nil {
			return err
		}
	}
	names := map[string]bool{}
	r.Stock = slices.Clone(r.Stock)
	for i := range r.Stock {
		s := &r.Stock[i]
		field := "roll." + fault.Numbered("stock", i)
		if s.Name == "" {
			return &fault.Input{Field: field + ".name", What: "a roll or remnant has no name", Do: "write on it, and here, what it is known by"}
		}
		if names[s.Name] {
			return &fault.Input{Field: field + ".name", What: fmt.Sprintf("a second piece of stock is called %q", s.Name), Do: "give each its own name"}
		}
		names[s.Name] = true
		if err := s.check(field); err != nil {
			return err
		}
	}
	return nil
}

// check cleans a remnant's outline and gives it its box for width and length.
func (s *Stock) check(field string) error {
	if len(s.Outline) > 0 {
		ring := polygon(s.Outline).Clean(weld).Anticlockwise()
		if err := ring.Valid(); err != nil || len(ring) > maxCorner {
			return &fault.Input{Field: field + ".outline", What: fmt.Sprintf("%q is not one simple outline of at most %d corners", s.Name, maxCorner),
				Do: "draw a border that neither crosses nor touches itself"}
		}
		box := ring.Bounds()
		back := r2.Scale(-1, box.Min)
		s.Outline, s.Defects = pairs(ring.Shift(back)), s.shiftedDefects(back)
		s.Width, s.Length = si.Length(box.Size().Y), si.Length(box.Size().X)
	}
	for _, c := range []error{
		fault.Check(field+".width", float64(s.Width), 1e-3, maxWidth, " m", "the width of "+s.Name+" as it lies there"),
		fault.Check(field+".length", float64(s.Length), 1e-3, longestRoll, " m", "how much of "+s.Name+" is left; an outline for a remnant"),
	} {
		if c != nil {
			return c
		}
	}
	for i, d := range s.Defects {
		if err := checkDefect(field+"."+fault.Numbered("defects", i), polygon(d)); err != nil {
			return err
		}
	}
	return nil
}

func (s Stock) shiftedDefects(by r2.Vec) (out [][][2]float64) {
	for _, d := range s.Defects {
		out = append(out, pairs(polygon(d).Shift(by)))
	}
	return out
}

func checkDefect(field string, d geom.Polygon) error {
	if err := d.Clean(weld).Valid(); err != nil || len(d) > maxCorner {
		return &fault.Input{Field: field, What: "this is no place on the roll", Do: "write from and, farther along, to; or an outline whose border does not cross itself"}
	}
	return fault.Check(field, d.Bounds().Max.X, -longestRoll, longestRoll, " m", "where it ends along the roll")
}
