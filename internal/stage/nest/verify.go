package nest

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
)

// proof is the depth in metres by which a layout may miss any of its promises:
// ten times touch, for the rounding of turns and shifts on a long roll.
const proof = 1e-9

// verify proves layouts on the outlines as given, with polygon Booleans and
// distances that the search does not use: every copy is there in an allowed turn,
// within its roll or remnant, off defects and section lines, in one lot with its group,
// and keeps the gap to all others.
func verify(r Roll, of []Laid) error {
	byName := map[string]Piece{}
	for _, p := range r.Pieces {
		byName[p.Name] = p
	}
	if err := r.verifyDemand(byName, of); err != nil {
		return err
	}
	for _, l := range of {
		rings := r.rings(l)
		for k, ring := range rings {
			if err := l.verifyOn(k, ring); err != nil {
				return err
			}
			if err := l.verifyOff(k, ring, float64(r.Gap)); err != nil {
				return err
			}
		}
		if err := verifyClear(rings, float64(r.Gap)); err != nil {
			return err
		}
	}
	return verifyLots(byName, of)
}

// verifyDemand proves that every copy is there, as it may lie.
func (r Roll) verifyDemand(byName map[string]Piece, of []Laid) error {
	left := map[string]int{}
	for _, l := range of {
		for k, at := range l.Placements {
			p, known := byName[at.Piece]
			if !known || !r.allowed(p, at) {
				return broken(fmt.Sprintf("placement %d turns %q in a way it may not lie", k, at.Piece), 0, 0)
			}
			left[at.Piece]--
		}
	}
	for _, p := range r.Pieces {
		if n := left[p.Name] + p.Count; n != 0 {
			return broken(fmt.Sprintf("%d of %q are missing", n, p.Name), float64(n), 0)
		}
	}
	return nil
}

// verifyOn proves that a piece lies on the goods and across no section line.
func (l Laid) verifyOn(k int, ring geom.Polygon) error {
	b, edge := ring.Bounds(), float64(l.Edge)
	if out := max(-b.Min.X, b.Max.X-float64(l.Length), edge-b.Min.Y, b.Max.Y-float64(l.Width)+edge); !(out <= 2*proof) {
		return broken(fmt.Sprintf("placement %d leaves the roll", k), out, 2*proof)
	}
	if t := float64(l.Table); t > 0 && len(l.Blanks) == 0 {
		if over := b.Max.X - t*(math.Floor(b.Min.X/t+proof)+1); !(over <= 2*proof) {
			return broken(fmt.Sprintf("placement %d lies across a section line", k), over, 2*proof)
		}
	}
	if len(l.Outline) == 0 {
		return nil
	}
	shared, err := geom.IntersectionArea(ring, polygon(l.Outline))
	if err != nil {
		return err
	}
	if missing, limit := math.Abs(ring.Area())-shared, proof*ring.Perimeter(); !(missing <= limit) {
		return broken(fmt.Sprintf("placement %d leaves its remnant", k), missing, limit)
	}
	return nil
}

// verifyOff proves that a piece keeps off defects.
func (l Laid) verifyOff(k int, ring geom.Polygon, gap float64) error {
	b := ring.Bounds()
	for _, d := range l.Defects {
		if apartBy(b, d.Bounds()) >= gap {
			continue
		}
		shared, err := geom.IntersectionArea(ring, d)
		if err != nil {
			return err
		}
		if limit := proof * d.Perimeter(); !(shared <= limit) {
			return broken(fmt.Sprintf("placement %d lies on a defect", k), shared, limit)
		}
		if dist := apartness(ring, d); !(dist >= gap-proof) {
			return broken(fmt.Sprintf("placement %d is nearer to a defect than the gap", k), gap-dist, proof)
		}
	}
	return nil
}

// verifyLots proves that whole sets of a group lie on each piece of goods: as many of
// each of the group's pieces, where it has as many of each.
func verifyLots(byName map[string]Piece, of []Laid) error {
	for _, l := range of {
		here := map[string]int{}
		for _, at := range l.Placements {
			here[at.Piece]++
		}
		for name, p := range byName {
			for other, q := range byName {
				if p.Group == "" || p.Group != q.Group {
					continue
				}
				if here[name]*q.Count != here[other]*p.Count {
					return broken(fmt.Sprintf("pieces of %s are cut from two lots", p.Group), 0, 0)
				}
			}
		}
	}
	return nil
}

func polygons(rings [][][2]float64) (out []geom.Polygon) {
	for _, r := range rings {
		out = append(out, polygon(r))
	}
	return out
}

func polygon(points [][2]float64) (out geom.Polygon) {
	for _, p := range points {
		out = append(out, r2.Vec{X: p[0], Y: p[1]})
	}
	return out
}

func broken(what string, residual, limit float64) error {
	return &fault.NoSolution{What: "a layout that passes its own check: " + what, Residual: residual, Limit: limit,
		Do: "change the seed or the gap a little, and report the job"}
}

func (r Roll) allowed(p Piece, at Placement) bool {
	if at.Flipped && !p.Flip {
		return false
	}
	for _, t := range distinct(p.Turns) {
		if math.Abs(math.Remainder(float64(at.Turn)-t, 2*math.Pi)) < float64(r.Tilt)+1e-9 {
			return true
		}
	}
	return false
}

// verifyClear checks every pair of rings whose boxes come within the gap.
func verifyClear(rings []geom.Polygon, gap float64) error {
	boxes := make([]r2.Box, len(rings))
	for i, p := range rings {
		boxes[i] = p.Bounds()
	}
	for i, p := range rings {
		for k := range i {
			if apartBy(boxes[i], boxes[k]) >= gap {
				continue
			}
			q := rings[k]
			shared, err := geom.IntersectionArea(p, q)
			if err != nil {
				return broken(fmt.Sprintf("placements %d and %d can't be compared (%v)", k, i, err), 0, 0)
			}
			if limit := proof * min(p.Perimeter(), q.Perimeter()); !(shared <= limit) {
				return broken(fmt.Sprintf("placements %d and %d share area", k, i), shared, limit)
			}
			if d := apartness(p, q); gap > 0 && !(d >= gap-proof) {
				return broken(fmt.Sprintf("placements %d and %d are nearer than the gap", k, i), gap-d, proof)
			}
		}
	}
	return nil
}

// apartBy is how far two boxes are apart along an axis; negative where they overlap.
func apartBy(a, b r2.Box) float64 {
	return max(a.Min.X-b.Max.X, b.Min.X-a.Max.X, a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y)
}

// apartness is the distance between two rings that do not cross: it is found
// at a corner of one of them.
func apartness(p, q geom.Polygon) float64 {
	d := math.Inf(1)
	for _, v := range p {
		d = min(d, q.Distance(v))
	}
	for _, v := range q {
		d = min(d, p.Distance(v))
	}
	return d
}
