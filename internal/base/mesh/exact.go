package mesh

import (
	"math"
	"math/big"

	"gonum.org/v1/gonum/spatial/r3"
)

// The error that rounding may leave in a determinant of three rows of
// differences, as a share of the sum of its products' sizes, and the same for
// two rows. Source: [shewchuk1997].
const (
	unitRound = 1.0 / (1 << 53)
	doubt3    = (7 + 56*unitRound) * unitRound
	doubt2    = (3 + 16*unitRound) * unitRound
)

// orient3 tells on which side of the plane through a, b, c the place d lies: the
// exact sign of
//
//	det [a−d, b−d, c−d]    > 0 where a, b, c run clockwise seen from d
//
// It is worked out in floating point first, and in whole numbers where that leaves
// doubt.
func orient3(a, b, c, d r3.Vec) int {
	u, v, w := r3.Sub(a, d), r3.Sub(b, d), r3.Sub(c, d)
	vw, wv := v.X*w.Y, w.X*v.Y
	wu, uw := w.X*u.Y, u.X*w.Y
	uv, vu := u.X*v.Y, v.X*u.Y
	det := u.Z*(vw-wv) + v.Z*(wu-uw) + w.Z*(uv-vu)
	size := math.Abs(u.Z)*(math.Abs(vw)+math.Abs(wv)) + math.Abs(v.Z)*(math.Abs(wu)+math.Abs(uw)) + math.Abs(w.Z)*(math.Abs(uv)+math.Abs(vu))
	switch bound := doubt3 * size; {
	case det > bound:
		return 1
	case det < -bound:
		return -1
	case u.X == 0 && v.X == 0 && w.X == 0, u.Y == 0 && v.Y == 0 && w.Y == 0, u.Z == 0 && v.Z == 0 && w.Z == 0:
		return 0 // a plane square to an axis
	}
	n := whole(a, b, c, d)
	for _, p := range n[:3] {
		for k := range p {
			p[k].Sub(p[k], n[3][k])
		}
	}
	x, y, z := n[0], n[1], n[2]
	sum := new(big.Int)
	for _, m := range [3][3][3]*big.Int{{x, y, z}, {y, z, x}, {z, x, y}} {
		minor := new(big.Int).Sub(product(m[1][0], m[2][1]), product(m[2][0], m[1][1]))
		sum.Add(sum, minor.Mul(minor, m[0][2]))
	}
	return sum.Sign()
}

func product(a, b *big.Int) *big.Int { return new(big.Int).Mul(a, b) }

// whole returns places, up to four, as whole numbers of a unit that all their
// coordinates are multiples of: a power of two.
func whole(places ...r3.Vec) (out [4][3]*big.Int) {
	const digits = 53
	var part [4][3]float64
	var power [4][3]int
	least := math.MaxInt
	for i, p := range places {
		for k := range 3 {
			part[i][k], power[i][k] = math.Frexp(along(p, k))
			if part[i][k] != 0 {
				least = min(least, power[i][k])
			}
		}
	}
	for i := range places {
		for k := range 3 {
			out[i][k] = big.NewInt(int64(part[i][k] * (1 << digits)))
			if part[i][k] != 0 {
				out[i][k].Lsh(out[i][k], uint(power[i][k]-least))
			}
		}
	}
	return out
}

// orient2 tells on which side of the line from a to b the place c lies, seen
// against the axis that is left out: 1 on the left, exactly.
func orient2(a, b, c r3.Vec, i, j int) int {
	l := (along(a, i) - along(c, i)) * (along(b, j) - along(c, j))
	r := (along(a, j) - along(c, j)) * (along(b, i) - along(c, i))
	switch bound := doubt2 * (math.Abs(l) + math.Abs(r)); {
	case l-r > bound:
		return 1
	case l-r < -bound:
		return -1
	}
	n := whole(a, b, c)
	for _, p := range n[:2] {
		for k := range p {
			p[k].Sub(p[k], n[2][k])
		}
	}
	return product(n[0][i], n[1][j]).Cmp(product(n[0][j], n[1][i]))
}
