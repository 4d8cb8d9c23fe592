package mould

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/solid"
)

// shape is the solids of a spec, ready to be asked.
type shape struct {
	solids []solid.Solid
	names  []string // of the solids in the job file
	plate  *Plate
	cavity bool
	ground bool    // the base plane belongs to the face: there is a flange or a plate
	base   float64 // its height, m
	joined *solid.Joined
	bounds r3.Box // above the base plane
	least  float64
	ends   []mouth  // of ducts, open
	closed []r3.Vec // ends of ducts in the open that have to stay closed
	boards []board  // flanges in other planes
	knots  []knot   // what is joined, as the joints' radii name it
	ducts  []*duct
	moved  move
	drawn  *solid.Joined // as drawn, where the face was moved from there
}

// Limits that keep a slip of the pen out of the mesher.
const (
	largest  = 20.0        // m, of any measure of a mould
	smallest = 0.5e-3      // m, of any measure of a solid
	steepest = math.Pi / 4 // of draft
	maxParts = 41          // solids, ground included, that fillets are worked out for
	roomy    = 1e-3        // m, flat left on a flange beyond its fillet
)

// newMoved checks and makes the solids and moves their faces.
func newMoved(s *Spec, m move) (*shape, error) {
	b := &shape{least: largest, cavity: s.Kind == Cavity, moved: m}
	for i, one := range s.Solids {
		field := fault.Numbered("mould.solids", i)
		made, err := b.make(field, one)
		if err != nil {
			return nil, err
		}
		if made != nil {
			b.add(made, field, i+1, one.Fillet)
		}
	}
	b.ground = s.Flange > 0 || b.plate != nil
	if err := b.addBoards(s); err != nil {
		return nil, err
	}
	if err := b.checkWhole(s); err != nil {
		return nil, err
	}
	if err := b.addRibs(s); err != nil {
		return nil, err
	}
	if err := b.checkJoints(s); err != nil {
		return nil, err
	}
	err := b.join(s, 0)
	if err == nil {
		b.openEnds(b.size(s))
		err = b.move(s)
	}
	if err == nil {
		err = b.addJoggle(s)
	}
	return b, err
}

// add notes a solid under its place in the job file.
func (b *shape) add(made solid.Solid, field string, number int, fillet *si.Length) {
	b.solids, b.names = append(b.solids, made), append(b.names, field)
	k := knot{number: number, most: math.Inf(1)}
	if fillet != nil {
		own := float64(*fillet)
		k.own = &own
	}
	b.knots = append(b.knots, k)
}

// make returns one solid; nil for a plate, which becomes the ground, and for a
// rib, which needs the others' face.
func (b *shape) make(field string, s Solid) (solid.Solid, error) {
	given := 0
	for _, there := range []bool{s.Block != nil, s.Wedge != nil, s.Cylinder != nil, s.Cone != nil, s.Dome != nil, s.Blister != nil, s.Sweep != nil, s.Plate != nil, s.Stub != nil, s.Lip != nil, s.Rib != nil} {
		if there {
			given++
		}
	}
	if given != 1 {
		return nil, &fault.Input{Field: field, What: fmt.Sprintf("%d solids in one item", given), Do: "write one of block, wedge, cylinder, cone, dome, blister, sweep, plate, stub, lip, rib to each item of the list"}
	}
	switch {
	case s.Block != nil:
		return b.block(field+".block", s.Block)
	case s.Wedge != nil:
		return b.wedge(field+".wedge", s.Wedge)
	case s.Cylinder != nil:
		c := s.Cylinder
		top := c.Diameter - 2*c.Height*si.Length(math.Tan(float64(c.Draft)))
		if err := check(field+".cylinder.draft", float64(c.Draft), 0, steepest); err != nil {
			return nil, err
		}
		return b.cone(field+".cylinder", Cone{c.Diameter, top, c.Height, c.At, c.Axis, c.Edge}, "draft")
	case s.Cone != nil:
		return b.cone(field+".cone", *s.Cone, "top")
	case s.Dome != nil:
		return b.dome(field+".dome", s.Dome)
	case s.Blister != nil:
		return b.blister(field+".blister", s.Blister)
	case s.Sweep != nil:
		return b.sweep(field+".sweep", s.Sweep)
	case s.Stub != nil:
		return b.stub(field+".stub", s.Stub)
	case s.Lip != nil:
		return b.lip(field+".lip", s.Lip)
	case s.Rib != nil:
		return nil, nil
	}
	return nil, b.addPlate(field+".plate", s.Plate)
}

// measure checks a length and notes the least of all.
func (b *shape) measure(field string, l float64) error {
	if !(smallest <= l && l <= largest) {
		return &fault.Range{Field: field, Value: 1e3 * l, Min: 1e3 * smallest, Max: 1e3 * largest, Unit: " mm", Why: "a mould can't be carved so"}
	}
	b.least = min(b.least, l)
	return nil
}

func (b *shape) measures(field string, names []string, l ...float64) error {
	for i, name := range names {
		if err := b.measure(field+"."+name, l[i]); err != nil {
			return err
		}
	}
	return nil
}

func check(field string, x, low, high float64) error {
	deg := 180 / math.Pi
	return fault.Check(field, x*deg, low*deg, high*deg, " deg", "beyond it the sides no longer stand")
}

// rounding refuses an edge radius for which the solid has no room.
func rounding(field string, edge, most float64, why string) error {
	if !(edge >= 0 && edge <= most) {
		return &fault.Range{Field: field, Value: 1e3 * edge, Min: 0, Max: 1e3 * most, Unit: " mm", Why: why}
	}
	return nil
}

func (b *shape) block(field string, s *Block) (solid.Solid, error) {
	d := solid.Draft{PosX: float64(s.Draft), NegX: float64(s.Draft), PosY: float64(s.Draft), NegY: float64(s.Draft)}
	if o := s.Drafts; o != nil {
		for _, one := range []struct {
			to   *float64
			from *si.Angle
		}{{&d.PosX, o.PosX}, {&d.NegX, o.NegX}, {&d.PosY, o.PosY}, {&d.NegY, o.NegY}} {
			if one.from != nil {
				*one.to = float64(*one.from)
			}
		}
	}
	if err := b.prism(field, s.Size.V, float64(s.Edge), s.Size.V.Z, d); err != nil {
		return nil, err
	}
	f := solid.Along(s.At.V, r3.Vec{Z: 1}).Turned(float64(s.Turn))
	return footed(solid.Block(f, s.Size.V, float64(s.Edge), d), f), nil
}

func (b *shape) wedge(field string, s *Wedge) (solid.Solid, error) {
	d := solid.Draft{PosX: float64(s.Draft), NegX: float64(s.Draft), PosY: float64(s.Draft), NegY: float64(s.Draft)}
	if !(s.Low >= 0 && float64(s.Low) <= s.Size.V.Z) {
		return nil, &fault.Range{Field: field + ".low", Value: 1e3 * float64(s.Low), Min: 0, Max: 1e3 * s.Size.V.Z, Unit: " mm", Why: "the top falls from the full height to low"}
	}
	if err := b.prism(field, s.Size.V, float64(s.Edge), float64(s.Low), d); err != nil {
		return nil, err
	}
	f := solid.Along(s.At.V, r3.Vec{Z: 1}).Turned(float64(s.Turn))
	return footed(solid.Wedge(f, s.Size.V, float64(s.Low), float64(s.Edge), d), f), nil
}

// prism checks what block and wedge share; low is the least height of the top.
func (b *shape) prism(field string, size r3.Vec, edge, low float64, d solid.Draft) error {
	if err := b.measures(field, []string{"size.x", "size.y", "size.z"}, size.X, size.Y, size.Z); err != nil {
		return err
	}
	for _, δ := range []float64{d.PosX, d.NegX, d.PosY, d.NegY} {
		if err := check(field+".draft", δ, -steepest, steepest); err != nil {
			return err
		}
	}
	x := size.X - size.Z*(math.Tan(d.PosX)+math.Tan(d.NegX))
	y := size.Y - size.Z*(math.Tan(d.PosY)+math.Tan(d.NegY))
	if top := min(x, y); !(top >= smallest) {
		return &fault.Input{Field: field + ".draft", What: fmt.Sprintf("the draft eats the top up: %.4g mm would be left of its width", 1e3*top), Do: "make the draft or the height less"}
	}
	return rounding(field+".edge", edge, min(x, y, size.X, size.Y)/2, "an edge can be rounded by half the width of the top at most")
}

func (b *shape) cone(field string, s Cone, narrow string) (solid.Solid, error) {
	if err := b.measures(field, []string{"diameter", "height"}, float64(s.Diameter), float64(s.Height)); err != nil {
		return nil, err
	}
	if !(s.Top >= 0 && s.Top <= largest) {
		return nil, &fault.Input{Field: field + "." + narrow, What: fmt.Sprintf("the far end would be %.4g mm wide", 1e3*float64(s.Top)), Do: "make the draft or the height less"}
	}
	foot, top, h := float64(s.Diameter)/2, float64(s.Top)/2, float64(s.Height)
	// The circle that fits into the profile's far corner.
	half := (math.Pi/2 - math.Atan2(top-foot, h)) / 2
	if err := rounding(field+".edge", float64(s.Edge), top*math.Tan(half)+1e-12, "an edge can be rounded until the far end is all round"); err != nil {
		return nil, err
	}
	axis, _ := axisOf(s.Axis)
	f := solid.Along(s.At.V, axis)
	return footed(solid.Cone(f, foot, top, h, float64(s.Edge)), f), nil
}

func (b *shape) dome(field string, s *Dome) (solid.Solid, error) {
	axis, _ := axisOf(s.Axis)
	f := solid.Along(s.At.V, axis)
	if s.Size != nil {
		if s.Diameter != 0 || s.Height != 0 {
			return nil, &fault.Input{Field: field + ".size", What: "a dome has a diameter and a height, or a size", Do: "take one out"}
		}
		v := s.Size.V
		if err := b.measures(field, []string{"size.x", "size.y", "size.z"}, v.X, v.Y, v.Z); err != nil {
			return nil, err
		}
		return footed(solid.Dome(f, v), f), nil
	}
	if err := b.measures(field, []string{"diameter", "height"}, float64(s.Diameter), float64(s.Height)); err != nil {
		return nil, err
	}
	r, h := float64(s.Diameter)/2, float64(s.Height)
	if h > r*(1+1e-12) {
		return nil, &fault.Range{Field: field + ".height", Value: 1e3 * h, Min: 1e3 * smallest, Max: 1e3 * r, Unit: " mm", Why: "a round dome is half a sphere at most; write size for a higher one"}
	}
	return footed(solid.Cap(f, r, h), f), nil
}

func (b *shape) blister(field string, s *Blister) (solid.Solid, error) {
	l, w, h := float64(s.Length), float64(s.Width), float64(s.Height)
	if err := b.measures(field, []string{"length", "width", "height"}, l, w, h); err != nil {
		return nil, err
	}
	crown, full := 0.5, 2.0
	if s.Crown != nil {
		crown = float64(*s.Crown)
	}
	if s.Fullness != nil {
		full = float64(*s.Fullness)
	}
	if err := fault.Check(field+".crown", crown, 0.1, 0.9, "", "nearer to an end the slope there gets too steep"); err != nil {
		return nil, err
	}
	if err := fault.Check(field+".fullness", full, 2, 8, "", "below 2 the crown has a point, above 8 the sides are walls"); err != nil {
		return nil, err
	}
	foot := solid.Along(s.At.V, r3.Vec{Z: 1}).Turned(float64(s.Turn))
	f := foot
	f.O = foot.Place(r3.Vec{X: (crown - 0.5) * l})
	return footed(&solid.Blister{F: f, Front: crown * l, Back: (1 - crown) * l, HalfWidth: w / 2, Height: h, Fullness: full}, f), nil
}

// footed cuts a solid at its foot, unless it stands upright on the base plane:
// there the plane itself ends it, or the body goes on for the trim at z = 0.
func footed(s solid.Solid, f solid.Frame) solid.Solid {
	if f.Z.Z > 1-1e-12 && f.O.Z <= 0 {
		return s
	}
	return solid.Footed(s, f.O, f.Z)
}

func (b *shape) addPlate(field string, s *Plate) error {
	if b.plate != nil {
		return &fault.Input{Field: field, What: "there is a second plate", Do: "write one"}
	}
	if err := b.measures(field, []string{"length", "width"}, float64(s.Length), float64(s.Width)); err != nil {
		return err
	}
	if s.At.V.Z != 0 {
		return &fault.Input{Field: field + ".at", What: "a plate's top is the base plane", Do: "write 0 for its z"}
	}
	b.plate = s
	return rounding(field+".corner", float64(s.Corner), float64(min(s.Length, s.Width))/2, "a corner can be rounded by half the width at most")
}
