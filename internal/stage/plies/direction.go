package plies

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/seed"
	"laywright/internal/stage/slits"
)

// Off is by how much yarns miss the direction that was asked for, by vertex of
// the surface, rad: positive where they are turned from the warp towards the
// weft, seen from the free side, from −90° to 90°. The weft is asked for at a
// right angle to the warp, so that it is off by the warp's miss less the shear.
type Off struct{ Warp, Weft []float64 }

// steep is the share of the warp's direction that must lie along the surface for
// it to be a direction there: it stands at more than 60° on the surface where
// less does.
const steep = 0.5

// asked returns for each vertex the direction asked for at angle 0: plies.warp
// laid into the surface, and where it stands steep on it carried over from where
// it does not, nearest first, as if the surface were unfolded on the way. A part
// on which it is steep all over is asked what its seed was given.
func (w *work) asked(normals []r3.Vec) []r3.Vec {
	out := make([]r3.Vec, len(normals))
	for i := range w.parts {
		p := &w.parts[i]
		warp := p.Along
		if r3.Norm(level(warp, p.Normal)) < seed.LeastShadow {
			warp = p.Warp
		}
		if layInto(out, p.Vertices, normals, warp) == 0 {
			near := w.in.Surface.NearestVertex(p.Top.Mesh.At(p.Seed), func(v int) bool { return len(w.top.VertexFaces(v)) > 0 })
			if d := level(p.Warp, normals[near]); d != (r3.Vec{}) {
				out[near] = r3.Unit(d)
			}
		}
	}
	carryOver(w.top, normals, out)
	return out
}

// level returns the part of a vector that lies square to a normal.
func level(v, normal r3.Vec) r3.Vec { return r3.Sub(v, r3.Scale(r3.Dot(v, normal), normal)) }

// layInto sets the direction at those vertices where it is not steep and returns
// how many these are.
func layInto(out []r3.Vec, vertices []int32, normals []r3.Vec, dir r3.Vec) (count int) {
	for _, v := range vertices {
		d := level(dir, normals[v])
		if long := r3.Norm(d); long >= steep {
			out[v] = r3.Scale(1/long, d)
			count++
		}
	}
	return count
}

// carryOver fills in directions, ring by ring, from those that are known: each
// the mean of its neighbours' turned with the surface from normal to normal.
func carryOver(top *mesh.Topology, normals, out []r3.Vec) {
	var ring []int32
	for v := range out {
		if out[v] != (r3.Vec{}) {
			ring = append(ring, int32(v))
		}
	}
	for len(ring) > 0 {
		sum := map[int32]r3.Vec{}
		var next []int32
		for _, v := range ring {
			for _, e := range top.VertexEdges(int(v)) {
				u := int32(top.Other(int(e), int(v)))
				if out[u] != (r3.Vec{}) {
					continue
				}
				if _, seen := sum[u]; !seen {
					next = append(next, u)
				}
				sum[u] = r3.Add(sum[u], turnedWith(out[v], normals[v], normals[u]))
			}
		}
		ring = ring[:0]
		for _, u := range next {
			d := level(sum[u], normals[u])
			if long := r3.Norm(d); long > 1e-6 { // neighbours that contradict each other leave it to later ones
				out[u] = r3.Scale(1/long, d)
				ring = append(ring, u)
			}
		}
	}
}

// turnedWith turns a direction along one plane into another by the least turn
// that takes normal a to normal b.
func turnedWith(d, a, b r3.Vec) r3.Vec {
	c := 1 + r3.Dot(a, b)
	if c < 1e-6 {
		return d
	}
	return r3.Sub(d, r3.Scale(r3.Dot(d, b)/c, r3.Add(a, b)))
}

// off measures a ply's yarns against the directions asked for at angle 0.
func off(asked, normals []r3.Vec, angle si.Angle, laid *Laid) Off {
	out := Off{make([]float64, len(asked)), make([]float64, len(asked))}
	sin, cos := math.Sincos(float64(angle))
	for v, d := range asked {
		if d == (r3.Vec{}) || laid.Warp[v] == (r3.Vec{}) {
			continue
		}
		left := r3.Cross(normals[v], d)
		warp := r3.Add(r3.Scale(cos, d), r3.Scale(sin, left))
		weft := r3.Add(r3.Scale(-sin, d), r3.Scale(cos, left))
		out.Warp[v] = missOf(warp, laid.Warp[v], normals[v])
		out.Weft[v] = missOf(weft, laid.Weft[v], normals[v])
	}
	return out
}

// measureLaid compares the yarns of a ply with the directions asked for.
func (w *work) measureLaid(p PlyIn, s *sheets) {
	if s.laid.Off.Warp == nil {
		s.laid.Off = off(w.toward, w.normals, p.Angle, s.laid)
	}
}

// missOf returns the angle from a to b, to the left, as between lines.
func missOf(a, b, normal r3.Vec) float64 {
	θ := math.Atan2(r3.Dot(normal, r3.Cross(a, b)), r3.Dot(a, b))
	return θ - math.Pi*math.Round(θ/math.Pi)
}

// oneWay is the share of fibre along the warp from which on the weft only holds
// the cloth together and its direction does not count.
const oneWay = 0.9

// worst returns by how much the yarns that count are off at each vertex, rad.
func (o Off) worst(f material.Fabric) []float64 {
	warpOnly := f.Weave == material.Unidirectional || f.WarpShare.Or(0.5) >= oneWay
	out := make([]float64, len(o.Warp))
	for v := range out {
		out[v] = math.Abs(o.Warp[v])
		if !warpOnly {
			out[v] = max(out[v], math.Abs(o.Weft[v]))
		}
	}
	return out
}

// Direction is how well a ply keeps its direction.
type Direction struct {
	Max   si.Angle // passed on no more than a trifle of the part
	P95   si.Angle // not passed on 95 % of the part
	Share float64  // of the part that is over the tolerance
}

// direction sums up what a ply's yarns are off.
func (w *work) direction(o Off, f material.Fabric, tolerance si.Angle) Direction {
	worst := o.worst(f)
	return Direction{passedOn(w.areas, worst, trifle), passedOn(w.areas, worst, 0.05),
		slits.Over(w.areas, worst, float64(tolerance)) / w.in.Surface.Area()}
}

// judgeDirection tells on how much of what a ply lies on its yarns are off by more than
// the tolerance.
func (r *Result) judgeDirection(label, of string, d Direction, tolerance si.Angle) {
	if d.Share <= offShare {
		return
	}
	r.add(fault.Note, "fibre-off-angle",
		fmt.Sprintf("%s runs more than %.0f° off its angle on %.0f %% of %s; all but a twentieth of it lies within %.0f°.", label, tolerance.Degrees(), 100*d.Share, of, d.P95.Degrees()),
		"sheared cloth carries its yarns with it, by up to half the shear either way and more where the warp itself is led round",
		"Nothing if the strength check is made with these yarns; else move plies.seed, slit or split the ply.",
		100*d.Share, 100*offShare, "% of "+of)
}
