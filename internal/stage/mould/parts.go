package mould

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/solid"
)

// orElse returns a length as given, or another where it was left out.
func orElse(l si.Length, other float64) float64 {
	if l != 0 {
		return float64(l)
	}
	return other
}

// solidsOnly refuses beside a mesh file what is worked out on solids.
func solidsOnly(s *Spec) error {
	for _, one := range []struct {
		field string
		given bool
	}{{"joints", len(s.Joints) > 0}, {"flanges", len(s.Flanges) > 0}, {"joggle", s.Joggle != nil}, {"drawn", s.Drawn != "" && s.Drawn != MouldFace}} {
		if one.given {
			return &fault.Input{Field: "mould." + one.field, What: "an imported mesh is taken as the mould's face", Do: "take the line out, or draw it into the mesh"}
		}
	}
	return nil
}

// within checks a length in metres against ends.
func within(field string, l, low, high float64, why string) error {
	return fault.Check(field, 1e3*l, 1e3*low, 1e3*high, " mm", why)
}

// stub checks and makes a pipe for a hose.
func (b *shape) stub(field string, s *Stub) (solid.Solid, error) {
	d, l := float64(s.Diameter), float64(s.Length)
	if err := b.measures(field, []string{"diameter", "length"}, d, l); err != nil {
		return nil, err
	}
	sunk := orElse(s.Sunk, d)
	if err := within(field+".sunk", sunk, 0, largest, "a depth in the wall"); err != nil {
		return nil, err
	}
	var bead solid.Bead
	if s.Bead != nil {
		h := float64(s.Bead.Height)
		bead = solid.Bead{Height: h, Width: orElse(s.Bead.Width, 4*h)}
		bead.Back = orElse(s.Bead.Back, bead.Width)
		if err := within(field+".bead.height", h, smallest/2, d/4, "a bead is a low ring"); err != nil {
			return nil, err
		}
		if err := within(field+".bead.width", bead.Width, 2*h, l, "a bead is round: two heights wide or more"); err != nil {
			return nil, err
		}
		if err := within(field+".bead.back", bead.Back, bead.Width/2+h, l-bead.Width/2, "the bead and its root must lie on the pipe, clear of its mouth"); err != nil {
			return nil, err
		}
	}
	var shoulder solid.Shoulder
	if s.Shoulder != nil {
		shoulder = solid.Shoulder{Radius: float64(s.Shoulder.Diameter) / 2, Height: float64(s.Shoulder.Length)}
		if err := within(field+".shoulder.diameter", 2*shoulder.Radius, d+2*smallest, 4*d, "a shoulder is wider than the pipe"); err != nil {
			return nil, err
		}
		if err := within(field+".shoulder.length", shoulder.Height, smallest, l-bead.Back-bead.Width/2-smallest, "a shoulder ends before the bead"); err != nil {
			return nil, err
		}
	}
	axis, _ := axisOf(s.Axis)
	made := solid.NewSpigot(solid.Along(s.At.V, axis), d/2, l, sunk, bead, shoulder)
	b.ducts = append(b.ducts, &duct{made, made, field, false})
	return made, nil
}

// lip checks and makes an upstanding edge.
func (b *shape) lip(field string, s *Lip) (solid.Solid, error) {
	outline, reach, err := b.section(field+".outline", s.Outline)
	if err != nil {
		return nil, err
	}
	t, h, e := float64(s.Thickness), float64(s.Height), float64(s.Edge)
	if err := b.measures(field, []string{"thickness", "height"}, t, h); err != nil {
		return nil, err
	}
	if err := rounding(field+".edge", e, min(t/2, h), "an edge can be rounded by half the lip's thickness at most"); err != nil {
		return nil, err
	}
	axis, _ := axisOf(s.Axis)
	f := solid.Along(s.At.V, axis).Turned(float64(s.Turn))
	sunk := orElse(s.Sunk, h)
	w := &solid.Wall{F: f, Outline: outline, Reach: reach, Tight: s.Outline.tightest(), Thickness: t, Height: h, Edge: e}
	return solid.Footed(w, f.Place(r3.Vec{Z: -sunk}), f.Z), nil
}

// tightest returns the radius of a section's tightest bend: of an ellipse b²/a at
// its ends.
func (s Section) tightest() float64 {
	switch {
	case s.Circle != nil:
		return float64(*s.Circle) / 2
	case s.Ellipse != nil:
		a, b := float64(s.Ellipse.Width)/2, float64(s.Ellipse.Height)/2
		return min(a, b) * min(a, b) / max(a, b)
	}
	return float64(s.Rectangle.Corner)
}

// judgeLips tells of lips whose inner bends are tighter than the filler at them: its
// ball fills them up.
func (r *Result) judgeLips(s *Spec, b *shape) {
	for i, k := range b.knots {
		lip := s.Solids[k.number-1].Lip
		if lip == nil {
			continue
		}
		widest := 0.0
		for j, other := range append(b.knots[:len(b.knots):len(b.knots)], knot{most: math.Inf(1)}) {
			if j < len(b.knots) && j != i || j == len(b.knots) && b.ground {
				widest = max(widest, filler(s, k, other))
			}
		}
		if inner := lip.Outline.tightest() - float64(lip.Thickness)/2; widest > inner+1e-6 {
			r.findAgainst(fault.Finding{Severity: fault.Note, Code: "lip-corner-filled",
				What: fmt.Sprintf("Filler rounds the inner bends of %s to %.3g mm; as drawn they have %.3g mm.", b.names[i], 1e3*widest, 1e3*max(0, inner)),
				Why:  "the ball that shapes the filler does not go in deeper",
				Do:   "Make its outline's corner larger or the lip thinner, or write a smaller fillet beside it."}, 1e3*widest, 1e3*max(0, inner), "mm")
		}
	}
}

// addRibs lays the ribs on the face of all other solids.
func (b *shape) addRibs(s *Spec) error {
	if !hasRib(s) {
		return nil
	}
	if err := b.join(s, 0); err != nil {
		return err
	}
	face := b.joined
	for i, one := range s.Solids {
		if one.Rib == nil {
			continue
		}
		field := fault.Numbered("mould.solids", i) + ".rib"
		made, err := b.rib(field, one.Rib, face)
		if err != nil {
			return err
		}
		if one.Fillet != nil {
			if err := within(fault.Numbered("mould.solids", i)+".fillet", float64(*one.Fillet), 0, float64(one.Rib.Width), "a larger fillet would drown the rib"); err != nil {
				return err
			}
		}
		b.add(made, fault.Numbered("mould.solids", i), i+1, one.Fillet)
		b.knots[len(b.knots)-1].most = float64(one.Rib.Height)
		b.bounds = solid.Join(b.bounds, made.Bounds())
	}
	return nil
}

func hasRib(s *Spec) bool {
	for _, one := range s.Solids {
		if one.Rib != nil {
			return true
		}
	}
	return false
}

// rib checks and makes a bead along a line on the face. Its section is the part
// of a circle over a chord of the rib's width:
//
//	R = (w²/4 + h²)/(2h), its middle R − h below the face
func (b *shape) rib(field string, s *Rib, face *solid.Joined) (solid.Solid, error) {
	w, h := float64(s.Width), float64(s.Height)
	if err := within(field+".width", w, smallest, largest, "a mould can't be carved so"); err != nil {
		return nil, err
	}
	if err := within(field+".height", h, smallest/2, w/2, "a rib is half round at most"); err != nil {
		return nil, err
	}
	if len(s.Path.P) < 2 {
		return nil, &fault.Input{Field: field + ".path", What: "a path needs two points or more", Do: "write {unit: mm, points: [[0,0,50],[100,0,50]]}"}
	}
	R := (w*w/4 + h*h) / (2 * h)
	var line []r3.Vec
	for i, p := range s.Path.P {
		if i == 0 {
			continue
		}
		from := s.Path.P[i-1]
		l := r3.Norm(r3.Sub(p, from))
		if !(l > 0 && l <= largest) {
			return nil, &fault.Input{Field: field + ".path", What: fmt.Sprintf("points %d and %d are %.4g mm apart", i, i+1, 1e3*l), Do: "set them farther apart"}
		}
		steps := max(1, math.Ceil(l/(ribStep*w)))
		for k := range int(steps) + 1 {
			if k == 0 && i > 1 {
				continue
			}
			q := r3.Add(from, r3.Scale(float64(k)/steps, r3.Sub(p, from)))
			on, n, ok := onto(face, q)
			if !ok || r3.Norm(r3.Sub(on, q)) > w+farRib {
				return nil, &fault.Input{Field: field + ".path", What: "the face is not near " + placeText(q), Do: "give places on the face, within some millimetres"}
			}
			line = append(line, r3.Sub(on, r3.Scale(R-h, n)))
		}
	}
	return solid.NewCord(line, R), nil
}

// How far apart the places of a rib's line stand, against its width, and how far
// off the face its points may be given besides that width, m.
const (
	ribStep = 0.25
	farRib  = 10e-3
)

// onto brings a place onto a face.
func onto(face *solid.Joined, p r3.Vec) (q, n r3.Vec, ok bool) {
	for range 50 {
		var d float64
		if d, n = face.At(p); math.Abs(d) < 1e-9 {
			return p, n, true
		}
		p = r3.Sub(p, r3.Scale(d, n))
	}
	return p, n, false
}
