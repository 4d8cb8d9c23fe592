package scan

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
)

// shell moves the image along the normals: at each vertex to the place that lies
// the thickness behind the planes of all its triangles, or as near to it as can be.
func shell(t *mesh.Topology, thick float64) (Solid, error) {
	m := t.Mesh
	if most := m.Diagonal(); !(thick > 0 && thick <= most) {
		return Solid{}, &fault.Range{Field: "mould.import.thicken.shell", Value: 1e3 * thick, Min: 0, Max: 1e3 * most, Unit: " mm", Why: "a shell is thinner than it is long"}
	}
	normals := m.VertexNormals()
	ways, back := make([]r3.Vec, len(m.Vertices)), make([]r3.Vec, len(m.Vertices))
	for v := range ways {
		ways[v] = behind(t, v, normals[v])
	}
	ease(t, ways, back, thick)
	s := Solid{Mesh: joinedTo(t, func(v int) r3.Vec { return back[v] }), Least: thick}
	given := mesh.NewLocator(m)
	for _, p := range back {
		if hit, ok := given.ClosestWithin(p, s.Least); ok {
			s.Least, s.Thin = hit.Distance, hit.At
		}
	}
	s.Volume = s.Mesh.Volume()
	s.Folds = foldsOf(t, back)
	return s, nil
}

// The ways of vertices near triangles that would turn over are averaged so often
// at most, until these keep so much of their facing.
const (
	easeRounds = 100
	easeTurn   = 0.3 // cosine
)

// ease puts the back's vertices in place. Behind an edge or a tight bulge the back
// has less room than the front, and triangles there would turn over or run through
// each other: the ways of their vertices and the neighbours' become the means of
// those round them, so that the front's triangles share the room. The shell gets
// thinner there, which is measured.
func ease(t *mesh.Topology, ways, back []r3.Vec, thick float64) {
	next := make([]r3.Vec, len(ways))
	for range easeRounds {
		for v, p := range t.Mesh.Vertices {
			back[v] = r3.Sub(p, r3.Scale(thick, ways[v]))
		}
		near := map[int32]bool{}
		for _, f := range cramped(t, back) {
			for _, v := range t.Mesh.Triangles[f] {
				near[v] = true
				for _, e := range t.VertexEdges(int(v)) {
					near[int32(t.Other(int(e), int(v)))] = true
				}
			}
		}
		if len(near) == 0 {
			return
		}
		copy(next, ways)
		for v := range near {
			sum, count := ways[v], 1.0
			for _, e := range t.VertexEdges(int(v)) {
				sum, count = r3.Add(sum, ways[t.Other(int(e), int(v))]), count+1
			}
			next[v] = r3.Scale(1/count, sum)
		}
		copy(ways, next)
	}
}

// cramped lists the triangles of the back that turn too far from the front's, or,
// where there are none, those that cross.
func cramped(t *mesh.Topology, back []r3.Vec) (out []int32) {
	image := &mesh.Mesh{Vertices: back, Triangles: t.Mesh.Triangles}
	out = t.Mesh.FacesWhere(func(f int) bool {
		a, b := image.AreaVector(f), t.Mesh.AreaVector(f)
		return !(r3.Dot(a, b) > easeTurn*r3.Norm(a)*r3.Norm(b))
	})
	if len(out) > 0 {
		return out
	}
	solid := joinedTo(t, func(v int) r3.Vec { return back[v] })
	found, _ := mesh.NewLocator(solid).Crossings(mostCrossings)
	for _, c := range found {
		out = append(out, frontOf(t, c.Faces[0]), frontOf(t, c.Faces[1]))
	}
	return out
}

// frontOf returns the triangle of the surface that one of the joined solid belongs
// to: itself, that before its image, or that at whose rim its wall stands.
func frontOf(t *mesh.Topology, f int32) int32 {
	n := int32(len(t.Mesh.Triangles))
	if f < 2*n {
		return f % n
	}
	wall := int(f-2*n) / 2
	for h, twin := range t.Twin {
		if twin >= 0 {
			continue
		}
		if wall == 0 {
			return int32(h / 3)
		}
		wall--
	}
	return 0 // not reached: walls stand on half-edges without a twin
}

// mostMitre is how far out of its normal a sharp edge may lie, in thicknesses.
const mostMitre = 3.0

// behind returns the way to the vertex's image for a thickness of 1: x with
// x·n = 1 for the normals n of its triangles, by least squares, held to the mean normal where
// they say nothing.
func behind(t *mesh.Topology, v int, mean r3.Vec) r3.Vec {
	const hold = 1e-4
	a := [3][3]float64{{hold, 0, 0}, {0, hold, 0}, {0, 0, hold}}
	b := [3]float64{hold * mean.X, hold * mean.Y, hold * mean.Z}
	for _, f := range t.VertexFaces(v) {
		w := 0.0
		for k, u := range t.Mesh.Triangles[f] {
			if int(u) == v {
				w = t.Mesh.Angles(int(f))[k]
			}
		}
		n := t.Mesh.FaceNormal(int(f))
		c := [3]float64{n.X, n.Y, n.Z}
		for i := range 3 {
			b[i] += w * c[i]
			for j := range 3 {
				a[i][j] += w * c[i] * c[j]
			}
		}
	}
	det := func(p, q, r [3]float64) float64 {
		return p[0]*(q[1]*r[2]-q[2]*r[1]) - p[1]*(q[0]*r[2]-q[2]*r[0]) + p[2]*(q[0]*r[1]-q[1]*r[0])
	}
	d := det(a[0], a[1], a[2])
	x := r3.Vec{X: det(b, a[1], a[2]) / d, Y: det(a[0], b, a[2]) / d, Z: det(a[0], a[1], b) / d}
	if l := r3.Norm(x); !(l <= mostMitre) {
		return mean
	}
	return x
}

// foldsOf groups the triangles behind which the back is turned over or the solid
// runs through itself, by where they lie.
func foldsOf(t *mesh.Topology, back []r3.Vec) []Fold {
	list := cramped(t, back)
	slices.Sort(list)
	list = slices.Compact(list)
	if len(list) == 0 {
		return nil
	}
	part := t.Mesh.Extract(list).Mesh
	top, err := mesh.NewTopology(part)
	if err != nil {
		return []Fold{{At: part.Centroid(0), Count: len(list)}}
	}
	var out []Fold
	for _, s := range sheetsOf(top) {
		out = append(out, Fold{At: part.Centroid(int(s.faces[0])), Count: len(s.faces)})
	}
	return out
}
