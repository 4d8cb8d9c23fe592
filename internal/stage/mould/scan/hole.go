package scan

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// mostDivided is the longest rim whose best triangles are sought, which takes time
// with its cube; a longer one is first cut in two.
const mostDivided = 250

// huge is an area, m², beyond that of any hole.
const huge = 1e6

// span covers a closed rim with triangles between its vertices alone: those of
// least area together. They run as the rim does.
//
// joined tells whether two vertices of the rim have a side outside the hole, which
// must not come twice.
//
//	W(i,k) = min over j of W(i,j) + W(j,k) + area(i,j,k)
//
// A rim of more than mostDivided vertices is first cut across where that is
// shortest against the way round.
//
// Source: [barequet1995].
func span(at []r3.Vec, rim []int32, joined func(a, b int32) bool) [][3]int32 {
	if len(rim) > mostDivided {
		i, j := waist(at, rim)
		one := append([]int32(nil), rim[i:j+1]...)
		other := append(append([]int32(nil), rim[j:]...), rim[:i+1]...)
		return append(span(at, one, joined), span(at, other, joined)...)
	}
	n := len(rim)
	if n < 3 {
		return nil
	}
	best, mid := make([]float64, n*n), make([]int16, n*n)
	for gap := 2; gap < n; gap++ {
		for i := 0; i+gap < n; i++ {
			k := i + gap
			best[i*n+k] = math.Inf(1)
			chord := 0.0
			if gap < n-1 && joined(rim[i], rim[k]) {
				chord = huge // that side is there already, outside the hole
			}
			for j := i + 1; j < k; j++ {
				w := best[i*n+j] + best[j*n+k] + area(at[rim[i]], at[rim[j]], at[rim[k]]) + chord
				if w < best[i*n+k] {
					best[i*n+k], mid[i*n+k] = w, int16(j)
				}
			}
		}
	}
	var out [][3]int32
	for stack := [][2]int{{0, n - 1}}; len(stack) > 0; {
		i, k := stack[len(stack)-1][0], stack[len(stack)-1][1]
		stack = stack[:len(stack)-1]
		if k-i < 2 {
			continue
		}
		j := int(mid[i*n+k])
		out = append(out, [3]int32{rim[i], rim[j], rim[k]})
		stack = append(stack, [2]int{i, j}, [2]int{j, k})
	}
	return out
}

// waist returns the two vertices of a rim that lie nearest for how far they are
// apart round it, a quarter of the rim or more on either side.
func waist(at []r3.Vec, rim []int32) (a, b int) {
	n := len(rim)
	best := math.Inf(1)
	for i := range n {
		for j := i + n/4; j < n && j-i <= n-n/4; j++ {
			if d := r3.Norm2(r3.Sub(at[rim[i]], at[rim[j]])); d < best {
				best, a, b = d, i, j
			}
		}
	}
	return a, b
}

func area(a, b, c r3.Vec) float64 { return r3.Norm(r3.Cross(r3.Sub(b, a), r3.Sub(c, a))) / 2 }
