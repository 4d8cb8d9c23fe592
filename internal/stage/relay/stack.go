package relay

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/si"
)

// Places at which layers are counted stand no farther apart than grain, m, and
// are no more than mostGrains a side of a triangle.
const (
	grain      = 0.0015
	mostGrains = 12
)

// stackUp fills in what the plies are together.
func (r *Result) stackUp(l *land, plies []*laid) {
	thick, layers := r.byFace(l, plies)
	r.Stack = Stack{Layers: l.toVertices(layers), Thickness: l.toVertices(thick)}
	least, most, at := math.Inf(1), 0.0, 0
	for f := range l.face {
		if l.face[f].area > 0 {
			least = min(least, thick[f])
		}
		if thick[f] > most {
			most, at = thick[f], f
		}
		r.LayersMax = max(r.LayersMax, int(math.Round(layers[f])))
	}
	r.ThicknessMax, r.ThicknessAt = si.Length(most), array(l.Mesh.Centroid(at))
	r.ThicknessMin = si.Length(least)
	for _, f := range busy(plies) {
		r.look(l, plies, f)
	}
	for _, y := range plies {
		for _, s := range y.steps {
			if d := math.Abs(heightAt(plies, s[0]) - heightAt(plies, s[1])); d > float64(r.StepMax) {
				r.StepMax, r.StepAt = si.Length(d), array(r3.Scale(0.5, r3.Add(s[0].at, s[1].at)))
			}
		}
	}
}

// byFace returns the mean thickness and number of layers by triangle.
func (r *Result) byFace(l *land, plies []*laid) (thick, layers []float64) {
	thick, layers = make([]float64, len(l.face)), make([]float64, len(l.face))
	for _, y := range plies {
		for f := range l.face {
			if a := l.face[f].area; a > 0 {
				thick[f] += y.ply.Thickness * y.bulk[f] / a
				layers[f] += y.main[f] / a
			}
		}
		for _, f := range keys(y.over) {
			for _, o := range y.over[f] {
				share := 2 * o.shape.Area() // of the triangle
				thick[f] += y.ply.Thickness * o.share * share
				layers[f] += share
			}
		}
	}
	return thick, layers
}

// toVertices takes means by triangle to vertices, weighted by area.
func (l *land) toVertices(byFace []float64) []float64 {
	sum, whole := make([]float64, len(l.Mesh.Vertices)), make([]float64, len(l.Mesh.Vertices))
	for f, t := range l.Mesh.Triangles {
		for _, v := range t {
			sum[v] += l.face[f].area * byFace[f]
			whole[v] += l.face[f].area
		}
	}
	for v := range sum {
		if whole[v] > 0 {
			sum[v] /= whole[v]
		}
	}
	return sum
}

// busy returns the triangles on which some ply is not just one layer.
func busy(plies []*laid) []int32 {
	var all []int32
	for _, y := range plies {
		all = append(all, keys(y.over)...)
		all = append(all, keys(y.partly)...)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

func keys[T any](m map[int32]T) []int32 {
	out := make([]int32, 0, len(m))
	for f := range m {
		out = append(out, f)
	}
	slices.Sort(out)
	return out
}

// look counts layers over triangle f.
func (r *Result) look(l *land, plies []*laid, f int32) {
	t := l.Mesh.Triangles[f]
	long := 0.0
	for k, v := range t {
		long = max(long, r3.Norm(r3.Sub(l.Mesh.Vertices[v], l.Mesh.Vertices[t[(k+1)%3]])))
	}
	n := max(1, min(mostGrains, int(math.Ceil(long/grain))))
	part := l.face[f].area / float64(n*n)
	doubled := make([]bool, len(plies))
	for _, w := range grains(n) {
		layers, thick := 0, 0.0
		for i, y := range plies {
			k, h := y.count(f, w)
			layers, thick = layers+k, thick+h
			doubled[i] = k > 1
		}
		r.LayersMax = max(r.LayersMax, layers)
		r.ThicknessMin = min(r.ThicknessMin, si.Length(thick))
		if thick > float64(r.ThicknessMax) {
			r.ThicknessMax, r.ThicknessAt = si.Length(thick), array(l.place(f, w))
		}
		together := inThree(doubled)
		if together > r.DoubledMax {
			r.DoubledMax, r.DoubledAt = together, array(l.place(f, w))
		}
		if together > 1 {
			r.DoubledOver += si.Area(part)
		}
	}
}

// grains returns a place in each of the n² equal parts of a triangle, in weights,
// a little off their middles so that none falls on a seam along a regular mesh.
func grains(n int) []r2.Vec {
	out := make([]r2.Vec, 0, n*n)
	h := 1 / float64(n)
	for i := range n {
		for j := range n - i {
			x, y := float64(i)*h, float64(j)*h
			out = append(out, r2.Vec{X: x + 0.31*h, Y: y + 0.35*h})
			if i+j < n-1 {
				out = append(out, r2.Vec{X: x + 0.69*h, Y: y + 0.65*h})
			}
		}
	}
	return out
}

// inThree returns the most that are true of any three in a row.
func inThree(doubled []bool) (most int) {
	count := 0
	for i, d := range doubled {
		if d {
			count++
		}
		if i >= 3 && doubled[i-3] {
			count--
		}
		most = max(most, count)
	}
	return most
}

// heightAt is the thickness of all plies at a place.
func heightAt(plies []*laid, s spot) (sum float64) {
	for _, y := range plies {
		_, h := y.count(s.face, s.w)
		sum += h
	}
	return sum
}

func array(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }
