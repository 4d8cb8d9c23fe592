package scan

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// Unit is a unit that mesh files are drawn in.
type Unit struct {
	Name string
	Size float64 // m
}

// Units lists those that drawing programs and scanners write, commonest first.
var units = []Unit{{"mm", 1e-3}, {"inch", 0.0254}, {"m", 1}, {"cm", 1e-2}}

// The diagonal of a part within which its unit is not doubted, and within which
// it is likely, m. Common practice, no source: nobody lays up a part smaller
// than a thumb by hand, few shops have an oven for more than a wing, and most
// parts lie between a hand and a cowling.
const (
	Least, Most             = 20e-3, 10.0
	leastLikely, mostLikely = 0.1, 3.0
)

// Likely returns the units in which a mesh of this diagonal, in the file's
// numbers, is a part that people lay up, the likeliest first: of those within the
// likely sizes the commonest, then those that can be.
func Likely(diagonal float64) []Unit {
	var likely, may []Unit
	for _, u := range units {
		switch d := diagonal * u.Size; {
		case leastLikely <= d && d <= mostLikely:
			likely = append(likely, u)
		case Least <= d && d <= Most:
			may = append(may, u)
		}
	}
	return append(likely, may...)
}

// Sizes says what a box of these numbers measures in each unit.
func Sizes(d r3.Vec) string {
	words := make([]string, len(units))
	for i, u := range units {
		words[i] = fmt.Sprintf("%s if %s", Measures(r3.Scale(u.Size, d)), u.Name)
	}
	return strings.Join(words, ", ")
}

// Measures writes the three measures of a box in the unit that suits its size.
func Measures(d r3.Vec) string {
	size, name := 1e-3, "mm"
	if r3.Norm(d) >= 10 {
		size, name = 1, "m"
	}
	n := func(x float64) string { return trimmed(x / size) }
	return fmt.Sprintf("%s x %s x %s %s", n(d.X), n(d.Y), n(d.Z), name)
}

// trimmed writes a number to three digits, whole where it has more.
func trimmed(x float64) string {
	if math.Abs(x) >= 100 {
		return fmt.Sprintf("%.0f", x)
	}
	return fmt.Sprintf("%.3g", x)
}
