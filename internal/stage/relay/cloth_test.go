package relay

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/stage/overlay"
)

// wound gives a piece the yarns of a flat pattern bent without strain about a box:
// warp along x on top, and whatever the triangle's flat places say elsewhere.
func wound(p Piece) Piece {
	m := p.Top.Mesh
	p.Warp, p.Weft, p.Shear = make([]r3.Vec, len(m.Vertices)), make([]r3.Vec, len(m.Vertices)), make([]float64, len(m.Vertices))
	for f, t := range m.Triangles {
		fr := frameOf(m.Corners(f))
		a, b, c := p.Flat[t[0]], p.Flat[t[1]], p.Flat[t[2]]
		ab, ac := r3.Sub(m.Vertices[t[1]], m.Vertices[t[0]]), r3.Sub(m.Vertices[t[2]], m.Vertices[t[0]])
		det := (b.X-a.X)*(c.Y-a.Y) - (c.X-a.X)*(b.Y-a.Y)
		warp := r3.Add(r3.Scale((c.Y-a.Y)/det, ab), r3.Scale(-(b.Y-a.Y)/det, ac))
		weft := r3.Cross(fr.normal, warp)
		for _, v := range t {
			p.Warp[v], p.Weft[v] = r3.Add(p.Warp[v], warp), r3.Add(p.Weft[v], weft)
		}
	}
	for v := range p.Warp {
		p.Warp[v], p.Weft[v] = unit(p.Warp[v]), unit(p.Weft[v])
	}
	return p
}

// The wall over the triangles of an upright box holds the cloth that lies on it, to
// rounding: shares add up to 1, and their sum over the part is the mass of its
// pieces, laps and all; what lies double lies so by its own yarns, those of the
// wall that the lap comes from.
func TestWallsHoldTheCloth(t *testing.T) {
	top, p := box(t, 20)
	p = wound(p)
	in := Input{Surface: top, Plies: []Ply{plyOf(1, p), plyOf(2, p)}, Lap: lap, Allowance: beyond}
	r := relaid(t, in)
	var flat, double float64
	for f, parts := range overlay.Walls(r.Cloth) {
		share, area := 0.0, top.Mesh.FaceArea(f)
		for _, part := range parts {
			share += part.Share
			if len(part.Bits) == 4 {
				double += area * part.Share
			}
			for _, l := range part.Bits {
				flat += area * part.Share * l.Bulk
			}
			for i := 1; i < len(part.Bits); i++ {
				if part.Bits[i].Ply < part.Bits[i-1].Ply {
					t.Fatalf("triangle %d: out of order", f)
				}
			}
		}
		near(t, "shares", share, 1, 1e-12)
	}
	near(t, "mass", areal*flat, float64(r.Mass), 1e-9*float64(r.Mass))
	near(t, "double", double, float64(r.Plies[0].Doubled), 1e-9)
	volume := r.Cloth[0].On
	laps := 0
	for f := range volume {
		n := top.Mesh.FaceNormal(f)
		for _, l := range volume[f] {
			if l.Shapes == nil || l.Warp == (r3.Vec{}) {
				continue
			}
			laps++
			// A lap carries on its own wall's yarns: along or across the box's edges.
			d := []float64{math.Abs(l.Warp.X), math.Abs(l.Warp.Y), math.Abs(l.Warp.Z)}
			if off := 1 - max(d[0], d[1], d[2]); off > 0.02 || math.Abs(r3.Dot(l.Warp, n)) > 1e-9 {
				t.Errorf("triangle %d: warp %v", f, l.Warp)
			}
		}
	}
	if laps == 0 {
		t.Error("no laps")
	}
}

// What plies lay on triangles cut finer comes back to those that were given.
func TestWallsOfTheGivenSurface(t *testing.T) {
	top, p := box(t, 20)
	in := Input{Surface: top, Plies: []Ply{plyOf(1, p)}, Lap: lap, Allowance: beyond, Within: make([]int32, len(top.Mesh.Triangles))}
	for f := range in.Within {
		in.Within[f] = int32(f % 7)
	}
	r := relaid(t, in)
	var flat float64
	for g, parts := range overlay.Walls(r.Cloth) {
		area := 0.0
		for f := range in.Within {
			if int(in.Within[f]) == g {
				area += top.Mesh.FaceArea(f)
			}
		}
		for _, part := range parts {
			for _, l := range part.Bits {
				flat += area * part.Share * l.Bulk
			}
		}
	}
	near(t, "mass", areal*flat, float64(r.Mass), 1e-9*float64(r.Mass))
}
