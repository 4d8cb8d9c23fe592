package exchanger

// Arrangement says how the separators stand to the liquid's path.
type Arrangement string

// The arrangements. Across: separators cut across the tubes, so the liquid
// meets the passes one after the other; the last air pass is at the liquid's
// inlet (AcrossCounter) or at its outlet (AcrossParallel). Along: separators
// lie along the tubes, so each pass has its own share of fresh liquid.
const (
	AcrossCounter  Arrangement = "across-counter"
	AcrossParallel Arrangement = "across-parallel"
	Along          Arrangement = "along"
)

// ends holds the temperatures around one pass on the scale where the air comes
// in at 0 and the liquid at 1.
type ends struct{ airIn, airOut, liquidIn, liquidOut float64 }

// join returns the temperatures around every pass, for the passes' air
// effectivenesses p and the capacity ratio of air to the liquid in a pass.
// Both streams are taken as mixed between passes. The air is; liquid that keeps
// its layers in a tube is put right by [unmixed].
func join(a Arrangement, p []float64, ratio float64) []ends {
	switch a {
	case AcrossParallel:
		return inParallel(p, ratio)
	case Along:
		return withFreshLiquid(p, ratio)
	}
	return inCounter(p, ratio)
}

func inParallel(p []float64, ratio float64) []ends {
	out := make([]ends, len(p))
	air, liquid := 0.0, 1.0
	for k := range p {
		rise := p[k] * (liquid - air)
		out[k] = ends{air, air + rise, liquid, liquid - ratio*rise}
		air, liquid = out[k].airOut, out[k].liquidOut
	}
	return out
}

func withFreshLiquid(p []float64, ratio float64) []ends {
	out := make([]ends, len(p))
	air := 0.0
	for k := range p {
		rise := p[k] * (1 - air)
		out[k] = ends{air, air + rise, 1, 1 - ratio*rise}
		air = out[k].airOut
	}
	return out
}

// inCounter solves the chain in which the liquid runs from the last air pass
// to the first. With e the effectiveness of the passes before k together and
// the liquid at 1 before pass k, the liquid after it is
//
//	L = (1 − r·p)/(1 − r·p·e)
//
// since the air comes to pass k at e·L. So e grows pass by pass, and the
// temperatures follow on the way back.
//
// For equal passes it is the closed form ε = (X−1)/(X−C), X = [(1−ε_p·C)/(1−ε_p)]^n
// of [kays-london1984], which a test checks.
func inCounter(p []float64, ratio float64) []ends {
	liquidAfter, before := make([]float64, len(p)), make([]float64, len(p))
	e := 0.0
	for k := range p {
		before[k] = e
		if rp := ratio * p[k]; rp*e < 1 { // else both parts are perfect and the liquid leaves cold
			liquidAfter[k] = (1 - rp) / (1 - rp*e)
		}
		air := e * liquidAfter[k]
		e = air + p[k]*(1-air)
	}
	out := make([]ends, len(p))
	liquid, air := 1.0, e
	for k := len(p) - 1; k >= 0; k-- {
		after := liquid * liquidAfter[k]
		out[k] = ends{before[k] * after, air, liquid, after}
		liquid, air = after, out[k].airIn
	}
	return out
}
