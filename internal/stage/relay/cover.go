package relay

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// measure puts a ply back and measures it.
func measure(l *land, p *Ply, in Input) (*laid, Covered) {
	y := layDown(l, p, in.Lap)
	y.layStrips(max(stripStep(in.Lap), in.Surface.Mesh.MeanEdge()/raysASide))
	y.findBare()
	out := Covered{Number: p.Number}
	y.measureCover(&out)
	y.measureEdges(&out, in.Allowance)
	out.sumUp(y.measureSeams(), in.Lap)
	y.notePatchSteps()
	return y, out
}

// raysASide is how many rays of a lap go to one side of a triangle: the surface is
// flat between, and more tell nothing.
const raysASide = 8

// stripStep is how far apart the rays of a lap are, m, where triangles are small.
func stripStep(lap float64) float64 { return min(0.003, max(0.001, lap/5)) }

// measureCover fills in what the ply covers, and how much lies double.
func (y *laid) measureCover(out *Covered) {
	var laid float64
	for f := range y.face {
		y.used, laid = y.used+y.bulk[f], laid+y.main[f]
	}
	for _, f := range keys(y.over) {
		for _, a := range y.over[f] {
			area := 2 * a.shape.Area() * y.face[f].area
			y.used, laid = y.used+a.share*area, laid+area
		}
	}
	var bare float64
	for _, f := range keys(y.bare) {
		bare += y.bareArea(f)
	}
	if y.area > 0 {
		out.Coverage = 1 - bare/y.area
	}
	out.Doubled = si.Area(max(0, laid-(y.area-bare)))
	out.Mass = si.Mass(y.used * y.ply.ArealMass)
	out.Uncovered = y.barePlaces()
}

func (y *laid) bareArea(f int32) float64 { return 2 * geom.AreaOf(y.bare[f]) * y.face[f].area }

const (
	leastPlace = 1e-6 // m²: smaller bare places are not listed
	mostPlaces = 8
)

// barePlaces gathers bare triangles that touch, largest place first.
func (y *laid) barePlaces() (out []Place) {
	done := map[int32]bool{}
	for _, first := range keys(y.bare) {
		if done[first] {
			continue
		}
		done[first] = true
		area, sum := 0.0, r3.Vec{}
		for todo := []int32{first}; len(todo) > 0; {
			f := todo[len(todo)-1]
			todo = todo[:len(todo)-1]
			for _, p := range y.bare[f] {
				a := 2 * p.Area() * y.face[f].area
				area, sum = area+a, r3.Add(sum, r3.Scale(a, y.place(f, geom.Polygon(p).Centroid())))
			}
			for _, v := range y.Mesh.Triangles[f] {
				for _, g := range y.VertexFaces(int(v)) {
					if !done[g] && len(y.bare[g]) > 0 {
						done[g] = true
						todo = append(todo, g)
					}
				}
			}
		}
		if area >= leastPlace {
			out = append(out, Place{array(r3.Scale(1/area, sum)), si.Area(area)})
		}
	}
	slices.SortStableFunc(out, func(a, b Place) int { return cmp.Compare(b.Area, a.Area) })
	return out[:min(len(out), mostPlaces)]
}

// measureEdges fills in how far the cut line passes the trim line. Rims round
// cut-outs over which the cloth goes on have no edge; and beside the mouth of a
// slit, nearer than the allowance, the cut along the slit is no edge either.
func (y *laid) measureEdges(out *Covered, allowance float64) {
	least, most := math.Inf(1), math.Inf(-1)
	for _, c := range y.cloths {
		mouths := c.mouths()
		for i := range c.rims {
			e := &c.rims[i]
			if !e.trim || c.Patch {
				continue
			}
			n := math.Ceil(e.long / station)
			for k := range int(n) {
				s := (float64(k) + 0.5) / n
				if nearAny(mouths, between(e.at, e.to, s), allowance) {
					continue
				}
				if r := e.ray(s); r.end == atCut {
					least, most = min(least, r.reach), max(most, r.reach)
				}
			}
		}
	}
	if least <= most {
		a, b := si.Length(least), si.Length(most)
		out.EdgeLeast, out.EdgeMost = &a, &b
	}
}

// mouths returns where seams come to the part's rim.
func (c *cloth) mouths() (out []r3.Vec) {
	for i := range c.rims {
		if e := &c.rims[i]; e.trim != c.rims[e.next].trim {
			out = append(out, e.to)
		}
	}
	return out
}

func nearAny(list []r3.Vec, x r3.Vec, limit float64) bool {
	return slices.ContainsFunc(list, func(p r3.Vec) bool { return r3.Norm(r3.Sub(p, x)) < limit })
}
