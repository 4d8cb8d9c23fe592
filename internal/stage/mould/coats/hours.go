package coats

import "laywright/internal/base/si"

// rate is the hours of filling, sanding and rubbing down, a square metre or a metre
// of hollow. Estimates of ours: people differ more than the shapes do, and a shop
// should put its own in after its first mould.
type rate struct{ low, high float64 }

var (
	setUp   = rate{1, 2} // whatever the size: mixing, masking, cleaning
	flat    = rate{1.5, 3}
	oneWay  = rate{3, 6}
	bothWay = rate{6, 12}
	hollows = rate{0.2, 0.5}  // a metre
	waxing  = rate{0.75, 1.5} // all coats of wax and film, a square metre; at least a quarter of that
)

// clearMore is how much longer a face takes that shows through the part.
const clearMore = 1.5

// work returns the hours by class of shape; a class that is not there has no line.
func work(in Input, carved bool) (out []Work) {
	add := func(what string, r rate, n, more float64) {
		if n > 0 {
			out = append(out, Work{what, minutes(si.Time(3600 * r.low * n * more)), minutes(si.Time(3600 * r.high * n * more))})
		}
	}
	if carved {
		more := 1.0
		if in.Finish == Clear {
			more = clearMore
		}
		add("set up, mix, clean", setUp, 1, 1)
		add("fill and sand what is flat", flat, float64(in.Shape.Flat), more)
		add("fill and sand what is curved one way", oneWay, float64(in.Shape.Single), more)
		add("fill and sand what is curved both ways", bothWay, float64(in.Shape.Double), more)
		add("draw and sand fillets", hollows, float64(in.Fillets), more)
	}
	add("wax and film", waxing, max(0.25, float64(in.Part)), 1)
	return out
}

// Hours adds a list of work up.
func Hours(list []Work) (low, high si.Time) {
	for _, w := range list {
		low, high = low+w.Low, high+w.High
	}
	return low, high
}
