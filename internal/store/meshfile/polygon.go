package meshfile

import (
	"gonum.org/v1/gonum/spatial/r3"
)

// cutPolygon cuts a polygon in space into triangles that turn as it does: a
// convex one as a fan, another by its ears, seen along the mean normal. What is
// so bent or crossed that no ear is left is cut as a fan: the shape is the
// file's fault and mesh.Clean reports what comes of it.
//
// Source: [meisters1975].
func cutPolygon(places []r3.Vec, corners []int32) [][3]int32 {
	var out [][3]int32
	left := append([]int32(nil), corners...)
	up := newell(places, corners)
	for len(left) > 3 {
		ear := findEar(places, left, up)
		if ear < 0 {
			break
		}
		n := len(left)
		out = append(out, [3]int32{left[(ear+n-1)%n], left[ear], left[(ear+1)%n]})
		left = append(left[:ear], left[ear+1:]...)
	}
	for k := 1; k+1 < len(left); k++ {
		out = append(out, [3]int32{left[0], left[k], left[k+1]})
	}
	return out
}

// newell returns the area vector of a polygon, doubled.
func newell(places []r3.Vec, corners []int32) (sum r3.Vec) {
	o := places[corners[0]]
	for k := range corners {
		a, b := r3.Sub(places[corners[k]], o), r3.Sub(places[corners[(k+1)%len(corners)]], o)
		sum = r3.Add(sum, r3.Cross(a, b))
	}
	return sum
}

// findEar returns a corner that bulges and whose triangle holds no other; -1 for
// none. A convex polygon needs no look at the others.
func findEar(places []r3.Vec, left []int32, up r3.Vec) int {
	n := len(left)
	hollow := make([]bool, n)
	any := false
	for k := range left {
		a, b, c := places[left[(k+n-1)%n]], places[left[k]], places[left[(k+1)%n]]
		hollow[k] = side(a, b, c, up) <= 0
		any = any || hollow[k]
	}
	if !any {
		return -1
	}
	for k := range left {
		if !hollow[k] && empty(places, left, hollow, k, up) {
			return k
		}
	}
	return -1
}

func side(a, b, c, up r3.Vec) float64 {
	return r3.Dot(r3.Cross(r3.Sub(b, a), r3.Sub(c, a)), up)
}

// empty tells whether no hollow corner lies in the triangle at corner k.
func empty(places []r3.Vec, left []int32, hollow []bool, k int, up r3.Vec) bool {
	n := len(left)
	i, j := (k+n-1)%n, (k+1)%n
	a, b, c := places[left[i]], places[left[k]], places[left[j]]
	for m, v := range left {
		if !hollow[m] || m == i || m == j {
			continue
		}
		p := places[v]
		if p != a && p != b && p != c && side(a, b, p, up) >= 0 && side(b, c, p, up) >= 0 && side(c, a, p, up) >= 0 {
			return false
		}
	}
	return true
}
