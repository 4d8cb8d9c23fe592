package seed

import (
	"math"

	"laywright/internal/base/mesh"
	"laywright/internal/stage/drape"
)

// burden is what the cloth must bear from one seed, for the worst of the angles.
type burden struct {
	most, mean float64 // largest shear and root mean square, rad
	locked     float64 // share of the part over the locking angle or not reached
}

// rank orders burdens in steps that are worth telling apart: the largest shear,
// what locks, the mean.
func (k *seeker) rank(b burden) [3]float64 {
	return [3]float64{math.Floor(k.counted(b) / leastGain), math.Floor(b.locked / leastShare), math.Floor(b.mean / meanStep)}
}

// counted is the largest shear as far as it counts: cloth that locks will be cut
// where cuts are made, and how far it is over the limit does not matter then.
func (k *seeker) counted(b burden) float64 {
	if k.cuts {
		return min(b.most, k.locking)
	}
	return b.most
}

// worth tells whether b is enough better than another burden to move the seed.
// Where cuts are made that is so only if it saves them: else they take the shear
// away, and the middle stands.
func (k *seeker) worth(b, than burden) bool {
	gain := k.counted(than) - k.counted(b)
	less := than.locked - b.locked
	switch {
	case k.cuts && than.most >= k.locking:
		return gain >= leastGain
	case gain >= leastGain:
		return less > -leastShare
	case gain < -leastGain:
		return false
	case less >= leastShare:
		return true
	}
	return less > -leastShare && b.mean < worthMoving*than.mean && b.mean < than.mean-leastGain
}

// try lays a coarse net for each of the angles, turned by as much.
func (k *seeker) try(seed mesh.Point, turn float64) (worst burden) {
	q := *k.part
	q.Seed = seed
	if Aim(&q, k.warp) && !k.lost || !k.shore.clear(seed) {
		return burden{math.Pi / 2, math.Pi / 2, 1} // the plies' angles would mean nothing there, or its cross lie on no cloth
	}
	for _, a := range k.angles {
		net, err := k.nets.Net(seed, q.Turned(a+turn), k.step)
		if err != nil {
			return burden{math.Pi / 2, math.Pi / 2, 1}
		}
		b := k.bear(net)
		worst = burden{max(worst.most, b.most), max(worst.mean, b.mean), max(worst.locked, b.locked)}
	}
	return worst
}

// bear sums up a net. What it does not reach counts as collapsed.
func (k *seeker) bear(net *drape.Net) (b burden) {
	var area, squares, over float64
	for i := range net.Nodes {
		p := &net.Nodes[i]
		if p.Cells < 4 {
			continue
		}
		cell, γ := net.Step*net.Step*math.Cos(p.Shear), math.Abs(p.Shear)
		area += cell
		squares += cell * γ * γ
		b.most = max(b.most, γ)
		if γ > k.locking {
			over += cell
		}
	}
	left := max(0, 1-k.ragged-area/k.part.Area)
	b.locked = left + over/k.part.Area
	if left > leastShare {
		b.most = math.Pi / 2
	}
	if area > 0 {
		b.mean = math.Sqrt((1-left)*squares/area + left*math.Pi*math.Pi/4)
	}
	return b
}
