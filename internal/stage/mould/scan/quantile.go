package scan

import "slices"

// quantile returns the value below which a share of the list lies; it sorts it.
func quantile(list []float64, share float64) float64 {
	slices.Sort(list)
	return list[int(share*float64(len(list)-1))]
}
