package draw

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// lab is a colour in OKLab: l is perceived lightness from 0 to 1, a runs from
// green to red, b from blue to yellow. Equal steps look about equal.
//
// Source: [ottosson2020].
type lab struct{ l, a, b float64 }

func toLab(c Colour) lab {
	r8, g8, b8 := c.Parts()
	r, g, b := linear(r8), linear(g8), linear(b8)
	l := math.Cbrt(0.4122214708*r + 0.5363325363*g + 0.0514459929*b)
	m := math.Cbrt(0.2119034982*r + 0.6806995451*g + 0.1073969566*b)
	s := math.Cbrt(0.0883024619*r + 0.2817188376*g + 0.6299787005*b)
	return lab{
		l: 0.2104542553*l + 0.7936177850*m - 0.0040720468*s,
		a: 1.9779984951*l - 2.4285922050*m + 0.4505937099*s,
		b: 0.0259040371*l + 0.7827717662*m - 0.8086757660*s,
	}
}

func (c lab) colour() Colour {
	l := cube(c.l + 0.3963377774*c.a + 0.2158037573*c.b)
	m := cube(c.l - 0.1055613458*c.a - 0.0638541728*c.b)
	s := cube(c.l - 0.0894841775*c.a - 1.2914855480*c.b)
	return RGB(
		encoded(4.0767416621*l-3.3077115913*m+0.2309699292*s),
		encoded(-1.2684380046*l+2.6097574011*m-0.3413193965*s),
		encoded(-0.0041960863*l-0.7034186147*m+1.7076147010*s),
	)
}

func cube(x float64) float64 { return x * x * x }

// linear and encoded are the transfer curve of sRGB. Source: [iec61966].
func linear(v uint8) float64 {
	x := float64(v) / 255
	if x <= 0.04045 {
		return x / 12.92
	}
	return math.Pow((x+0.055)/1.055, 2.4)
}

func encoded(x float64) uint8 {
	if x <= 0.0031308 {
		x *= 12.92
	} else {
		x = 1.055*math.Pow(x, 1/2.4) - 0.055
	}
	return uint8(math.Round(255 * min(max(x, 0), 1)))
}

// Ramp turns a share from 0 to 1 into a colour. Lightness changes linearly with
// the share, so the map reads the same in grey print and to any colour vision;
// hue only helps.
type Ramp struct {
	stops []lab
	at    []float64
}

// arm places the stops from t0 to t1 so that lightness is linear between
// the first and the last.
func (r *Ramp) arm(t0, t1 float64, colours ...Colour) {
	first, last := toLab(colours[0]).l, toLab(colours[len(colours)-1]).l
	for _, c := range colours {
		p := toLab(c)
		r.stops = append(r.stops, p)
		r.at = append(r.at, t0+(t1-t0)*(p.l-first)/(last-first))
	}
}

// Sequential runs from pale sand over sea green to night blue: more is darker.
func Sequential() Ramp {
	var r Ramp
	r.arm(0, 1, RGB(0xf4, 0xea, 0xd3), RGB(0xa9, 0xcb, 0xb4), RGB(0x4f, 0x96, 0x98), RGB(0x2a, 0x5f, 0x7c), RGB(0x1b, 0x2b, 0x4b))
	return r
}

// Diverging runs from night blue over paper to umber; the middle is nought and
// both ends are equally dark.
func Diverging() Ramp {
	var r Ramp
	r.arm(0, 0.5, RGB(0x1f, 0x3d, 0x6b), RGB(0x6d, 0x9b, 0xc0), RGB(0xf6, 0xf1, 0xe6))
	r.arm(0.5, 1, RGB(0xf6, 0xf1, 0xe6), RGB(0xd0, 0x94, 0x5a), RGB(0x6e, 0x31, 0x0e))
	return r
}

// At returns the colour at a share; outside 0 to 1 it is that of the end, and
// where there is no number it is the faint grey.
func (r Ramp) At(t float64) Colour { return r.lab(t).colour() }

func (r Ramp) lab(t float64) lab {
	if math.IsNaN(t) || len(r.stops) == 0 {
		return toLab(Faint)
	}
	i := 1
	for i < len(r.at)-1 && t > r.at[i] {
		i++
	}
	lo, hi := r.stops[i-1], r.stops[i]
	w := 0.0
	if d := r.at[i] - r.at[i-1]; d > 0 {
		w = min(max((t-r.at[i-1])/d, 0), 1)
	}
	return lab{lo.l + w*(hi.l-lo.l), lo.a + w*(hi.a-lo.a), lo.b + w*(hi.b-lo.b)}
}

// Shades is how many steps a map is drawn in: fine enough to look smooth, few
// enough to keep files small.
const Shades = 24

// Stepped returns the share at the middle of the step that t falls in.
func Stepped(t float64) float64 {
	return (math.Floor(min(max(t, 0), 1-1e-9)*Shades) + 0.5) / Shades
}

// Range is the scale of values on a map: what share of the ramp a value has.
type Range struct {
	Ramp      Ramp
	Low, High float64  // values at the ramp's ends
	Limit     *float64 // drawn as a line on map and legend; nil: none
	Label     string   // what is shown: "shear"
	Unit      string   // "°"
}

// share is where v lies between the ends. Where all values are alike there is
// no scale, and they lie at its low end.
func (r Range) share(v float64) float64 {
	if r.High == r.Low {
		return 0 * v // NaN stays NaN
	}
	return (v - r.Low) / (r.High - r.Low)
}

// Colour returns the stepped colour of a value.
func (r Range) Colour(v float64) Colour { return r.Ramp.At(Stepped(r.share(v))) }

// ticks is how many ticks a legend w millimetres wide has room for.
func (r Range) ticks(w float64) int {
	const least, gap = 8, 4 // mm
	n := max(2, int(w/least))
	label := Width(Number(r.High, Decimals(r.Low, r.High, n)), Regular, Small)
	return max(2, int(w/max(least, label+gap)))
}

// legendBar is the height of a legend's bar in mm.
const legendBar = 3.5

// LegendHeight is the room that Legend needs, in mm.
const LegendHeight = 16

// Legend draws the ramp as a bar with round ticks and the limit as a line, in
// the top LegendHeight of the box.
func (r Range) Legend(box r2.Box) []Item {
	top, w := box.Max.Y, box.Size().X
	bar := r2.NewBox(box.Min.X, top-5-legendBar, box.Max.X, top-5)
	items := []Item{Text{At: r2.Vec{X: box.Min.X, Y: top}, Rise: Below, Size: Small, Face: Bold, Colour: Ink, String: withUnit(r.Label, r.Unit)}}
	for i := range Shades {
		a, b := float64(i)/Shades, float64(i+1)/Shades
		step := r2.NewBox(bar.Min.X+a*w, bar.Min.Y, bar.Max.X, bar.Max.Y) // each lies over the last: no gaps
		items = append(items, Rect(step, Pen{}, r.Ramp.At((a+b)/2)))
	}
	items = append(items, Rect(bar, InkPen(Fine), 0))
	for _, v := range Ticks(r.Low, r.High, r.ticks(w)) {
		x := bar.Min.X + r.share(v)*w
		items = append(items, Line(InkPen(Fine), r2.Vec{X: x, Y: bar.Min.Y}, r2.Vec{X: x, Y: bar.Min.Y - 1}),
			Text{At: r2.Vec{X: x, Y: bar.Min.Y - 1.8}, Rise: Below, Align: Centre, Size: Small, Colour: Soft, String: Number(v, Decimals(r.Low, r.High, r.ticks(w)))})
	}
	return append(items, r.legendLimit(bar)...)
}

// legendLimit marks the limit over the bar, or says that it lies beyond. Where
// the label leaves no room over the bar the words stand under the ticks.
func (r Range) legendLimit(bar r2.Box) []Item {
	if r.Limit == nil {
		return nil
	}
	var items []Item
	words := Text{At: r2.Vec{X: bar.Max.X, Y: bar.Max.Y + 5}, Rise: Below, Align: End, Size: Small, Colour: Accent, String: "limit " + Short(*r.Limit) + unitAfter(r.Unit)}
	lead := bar.Min.X + Width(withUnit(r.Label, r.Unit), Bold, Small) + 2
	if t := r.share(*r.Limit); 0 <= t && t <= 1 {
		x := bar.Min.X + t*bar.Size().X
		items = append(items, Line(Pen{Width: 0.6, Colour: Accent}, r2.Vec{X: x, Y: bar.Min.Y - 1}, r2.Vec{X: x, Y: bar.Max.Y + 1.2}))
		words.Face = Bold
		half := Width(words.String, words.Face, Small) / 2
		words.At.X = min(max(x, lead+half), bar.Max.X-half) + half
	} else {
		words.String += " (off the scale)"
	}
	if words.Bounds().Min.X < lead {
		words.At.X, words.At.Y = bar.Max.X, bar.Min.Y-5.2
	}
	return append(items, words)
}

func withUnit(label, unit string) string {
	if unit == "" {
		return label
	}
	return label + ", " + unit
}

// unitAfter puts a space before a unit, but not before a degree or per cent sign alone.
func unitAfter(unit string) string {
	if unit == "" || unit == "°" || unit == "%" {
		return unit
	}
	return " " + unit
}
