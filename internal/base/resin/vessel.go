package resin

import (
	"cmp"
	"math"
	"slices"

	"laywright/internal/base/num"
	"laywright/internal/base/si"
)

// Shape is the kind of vessel that mixed resin stands in.
type Shape int

// The shapes. A tray stands on a bench and is as wide as its resin needs.
const (
	PlasticCup Shape = iota
	PaperCup
	FoamCup
	Tin
	Tray
)

// Vessel is what mixed resin stands in.
type Vessel struct {
	Shape    Shape
	Diameter si.Length // inside; 0: of a cup that the resin fills to two thirds of its width
	Depth    si.Length // of the resin in a tray
}

// Of the way from resin to air. The first is what the usual plastic cup comes to,
// see [CupLoss]: a face of resin or of a thin dark wall by convection and
// radiation. Bright metal hardly radiates. A board under a tray takes up some heat
// for half an hour, as a thick body of wood does: √(kρc/πt). All ± 35 %, from the
// handbook's values of the materials.
const (
	faceLoss  = 0.11 / 0.012 // W/(m²K)
	metalLoss = 4.5          // W/(m²K): convection alone
	boardLoss = 4.0          // W/(m²K)
	paperWall = 0.006        // m²K/W: 0.4 mm of board
	foamWall  = 0.07         // m²K/W: 2.5 mm of foam
)

// usualFill is how deep the resin stands in the usual cup, in widths of it.
const usualFill = 0.66

// side is the conductance of a square metre of the vessel's wall.
func (v Vessel) side() float64 {
	switch v.Shape {
	case PaperCup:
		return 1 / (1/faceLoss + paperWall)
	case FoamCup:
		return 1 / (1/faceLoss + foamWall)
	case Tin:
		return metalLoss
	case Tray:
		return boardLoss
	}
	return faceLoss
}

// size returns width and depth of the resin in the vessel, m; a tray has no width.
func (v Vessel) size(volume float64) (width, depth float64) {
	if v.Shape == Tray {
		return math.Inf(1), float64(v.Depth)
	}
	if width = float64(v.Diameter); width == 0 {
		width = math.Cbrt(4 * volume / (math.Pi * usualFill))
	}
	return width, 4 * volume / (math.Pi * width * width)
}

// Loss returns the conductance from a mass of resin in the vessel to the air: the
// free face at 9.2 W/(m²K), and walls and bottom by what they are of. Of the usual
// plastic cup it is [CupLoss]. The wall's own heat, some 4 % of the resin's, and
// what the rim does are left out.
func (v Vessel) Loss(m si.Mass, density si.Density) si.Conductance {
	volume := float64(m) / float64(density)
	if v.Shape == Tray {
		return si.Conductance((faceLoss + boardLoss) * volume / float64(v.Depth))
	}
	free, wall := 1.0, 0.0
	if v.Diameter > 0 {
		width, depth := v.size(volume)
		free = math.Pi / 4 * width * width
		wall = free + math.Pi*width*depth
	} else {
		area := float64(CupLoss(m)) / faceLoss
		free = area / (2 + 4*usualFill)
		wall = area - free
	}
	return si.Conductance(faceLoss*free + v.side()*wall)
}

// CoreLoss returns the conductance that stands for the middle of the resin, which
// is warmer than the rest: there a cup begins to run off. The way through the resin
// is put before that of [Vessel.Loss] so that a vessel with cold walls runs off where
// the theory of Frank-Kamenetskii says,
//
//	UA = e·k·V·(δr/r² + δz/z²)    δr = 2.00, δz = 0.878
//
// with r half the width and z half the depth, and a small one with badly cooled walls where
// that of Semenov says. The sum over the two ways is right for a long and for a flat
// body, and 4 % too high for a cup as deep as wide.
//
// Source: [frank-kamenetskii1939], [semenov1928].
func (v Vessel) CoreLoss(m si.Mass, l *Law) si.Conductance {
	volume := float64(m) / float64(l.Density)
	width, depth := v.size(volume)
	inner := math.E * float64(l.K) * volume * (criticalLong/(width*width/4) + criticalFlat/(depth*depth/4))
	return si.Conductance(1 / (1/inner + 1/float64(v.Loss(m, l.Density))))
}

// Critical numbers of Frank-Kamenetskii of a long cylinder's radius and a slab's
// half thickness.
const (
	criticalLong = 2.0
	criticalFlat = 0.878
)

// How finely a tame mass and depth are found, and what share of the loss they
// count on: it is known to ± 35 %, and safe means on the safe side of that.
const (
	tameWithin = 0.01
	tameLoss   = 0.65
)

// tame reports whether a vessel's middle never gets 40 K warmer than the air or the
// fresh mix, even where a third less heat is lost than [Vessel.CoreLoss] says.
func (l *Law) tame(v Vessel, m si.Mass, air, start si.Temperature) (bool, error) {
	_, off, err := l.reaches(Cup{Mass: m, Air: air, Start: start, Loss: tameLoss * v.CoreLoss(m, l)}, ranOff)
	return !off, err
}

// Tame returns the largest mass up to most that does not run off in the vessel;
// 0 where even the least does.
func (l *Law) Tame(v Vessel, air, start si.Temperature, least, most si.Mass) (si.Mass, error) {
	m, err := num.Largest(float64(least), float64(most), tameWithin, func(m float64) (bool, error) { return l.tame(v, si.Mass(m), air, start) })
	return si.Mass(m), err
}

// TameDepth returns how deep resin may stand in a tray without running off, up to
// most; 0 where even the least does. The tray is wide: its mass does not matter.
func (l *Law) TameDepth(air, start si.Temperature, least, most si.Length) (si.Length, error) {
	const some = 0.1 // kg
	d, err := num.Largest(float64(least), float64(most), tameWithin, func(d float64) (bool, error) {
		return l.tame(Vessel{Shape: Tray, Depth: si.Length(d)}, some, air, start)
	})
	return si.Length(d), err
}

// Trace is the course of a cup, for a chart.
type Trace struct {
	Time        []float64        `json:"time_s"`
	Temperature []si.Temperature `json:"temperature_degC"`
	Degree      []float64        `json:"degree_of_cure"`
}

// Smoke is where a cup's balance is followed no further: past it a cup smokes, boils and
// melts, and its temperature is no number to tell.
const Smoke si.Temperature = 273.15 + 150

// Trace follows a cup like [Law.Watch] and returns its course up to [Smoke] in no more
// than points, close together where it bends.
func (l *Law) Trace(c Cup, points int) (Pot, Trace, error) {
	all := []Moment{{0, max(c.Start, 0), 0}}
	if c.Start == 0 {
		all[0].Temperature = c.Air
	}
	pot, _, err := l.watch(c, func(_ *cupWatch, m Moment) bool {
		if all[len(all)-1].Temperature < Smoke {
			all = append(all, m)
		}
		return true
	})
	if err != nil {
		return pot, Trace{}, err
	}
	if end := pot.PeakAt; pot.Gel != nil { // a tame cup is watched long after anything happens
		const after = 1.3
		end = after * max(end, *pot.Gel)
		i, _ := slices.BinarySearchFunc(all, end, func(m Moment, t si.Time) int { return cmp.Compare(m.Time, t) })
		all = all[:min(len(all), i+1)]
	}
	return pot, thinned(all, points), nil
}

// thinned takes points that are evenly far apart on a chart as high as it is wide.
func thinned(all []Moment, points int) (out Trace) {
	last := all[len(all)-1]
	low, high := all[0].Temperature, all[0].Temperature
	for _, m := range all {
		low, high = min(low, m.Temperature), max(high, m.Temperature)
	}
	const least = 20.0 // K: a flat course is not stretched to the chart's height
	way := make([]float64, len(all))
	for i := 1; i < len(all); i++ {
		a, b := all[i-1], all[i]
		way[i] = way[i-1] + math.Hypot(float64((b.Time-a.Time)/last.Time), float64(b.Temperature-a.Temperature)/max(least, float64(high-low)))
	}
	next := 0.0
	for i, m := range all {
		if i < len(all)-1 && way[i] < next {
			continue
		}
		out.Time = append(out.Time, math.Round(float64(m.Time)*10)/10)
		out.Temperature = append(out.Temperature, si.Celsius(math.Round(m.Temperature.Celsius()*100)/100))
		out.Degree = append(out.Degree, math.Round(min(max(m.Degree, 0), 1)*1e4)/1e4)
		next = max(next, way[i]) + way[len(way)-1]/float64(points-2)
	}
	return out
}
