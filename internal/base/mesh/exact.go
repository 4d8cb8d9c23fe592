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
// It is worked out in floating point first, and in whole fractions where that
// leaves doubt.
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
	x, y, z := fractions(a, d), fractions(b, d), fractions(c, d)
	sum := new(big.Rat)
	for _, m := range [3][3][3]*big.Rat{{x, y, z}, {y, z, x}, {z, x, y}} {
		minor := new(big.Rat).Sub(product(m[1][0], m[2][1]), product(m[2][0], m[1][1]))
		sum.Add(sum, minor.Mul(minor, m[0][2]))
	}
	return sum.Sign()
}

func product(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }

// fractions returns a − b exactly.
func fractions(a, b r3.Vec) (out [3]*big.Rat) {
	for k := range out {
		p, q := new(big.Rat).SetFloat64(along(a, k)), new(big.Rat).SetFloat64(along(b, k))
		out[k] = p.Sub(p, q)
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
	p, q := fractions(a, c), fractions(b, c)
	return product(p[i], q[j]).Cmp(product(p[j], q[i]))
}
