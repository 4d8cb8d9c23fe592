package num

import "math"

// Largest returns, within a share, the largest x from low to high at which good
// still holds: it should hold up to some x and not beyond. high where it holds
// there, 0 where it does not even at low. Both are above 0, and their ratio is
// halved step by step.
func Largest(low, high, share float64, good func(float64) (bool, error)) (float64, error) {
	if ok, err := good(high); ok || err != nil {
		return high, err
	}
	if ok, err := good(low); !ok || err != nil {
		return 0, err
	}
	for high/low > 1+share {
		middle := math.Sqrt(low * high)
		ok, err := good(middle)
		if err != nil {
			return 0, err
		}
		if ok {
			low = middle
		} else {
			high = middle
		}
	}
	return low, nil
}
