package si

import (
	"math"
	"strings"
	"unicode"
)

// unit is a name with its size in SI units. A scale unit (a thermometer's)
// has a zero of its own and can't stand in a compound unit.
type unit struct {
	dim   Dim
	size  float64
	zero  float64 // kelvin at the scale's zero; only where scale is true
	scale bool
	delta bool // a difference by its name: no temperature
}

// toSI returns x units in SI units. Where the unit is a whole part of the SI
// unit it divides, so that "2.5 mm" is the float64 nearest to 0.0025.
func (u unit) toSI(x float64) float64 {
	if parts := math.Round(1 / u.size); parts > 1 && u.size == 1/parts {
		return x / parts
	}
	return x * u.size
}

// fromSI is the inverse of toSI.
func (u unit) fromSI(x float64) float64 {
	if parts := math.Round(1 / u.size); parts > 1 && u.size == 1/parts {
		return x * parts
	}
	return x / u.size
}

// Sizes are exact by definition (international yard and pound 1959, standard
// gravity 9.80665 m/s^2, 18th CGPM litre) except: inHg and mmHg are the
// conventional ones (mercury 13 595.1 kg/m^3), inH2O conventional (1000 kg/m^3),
// BTU and cal are the international-table ones.
// Source: [nist-sp811].
var units = makeUnits()

const (
	inch  = 0.0254
	pound = 0.45359237
	g0    = 9.80665
	lbf   = pound * g0
	psi   = lbf / (inch * inch)
	btu   = 1055.05585262
	gal   = 231 * inch * inch * inch
	inHg  = 3386.388640341
)

func makeUnits() map[string]unit {
	u := map[string]unit{}
	add := func(d Dim, size float64, names ...string) {
		for _, n := range names {
			u[n] = unit{dim: d, size: size}
		}
	}
	scale := func(size, zero float64, names ...string) {
		for _, n := range names {
			u[n] = unit{dim: Dim{Th: 1}, size: size, zero: zero, scale: true}
		}
	}
	L, A, V, M, T := Dim{L: 1}, Dim{L: 2}, Dim{L: 3}, Dim{M: 1}, Dim{T: 1}
	F, P, E, W := kinds[force].Dim, kinds[pressure].Dim, kinds[energy].Dim, kinds[power].Dim

	add(L, 1, "m")
	add(L, 1e-2, "cm")
	add(L, 1e-3, "mm")
	add(L, 1e-6, "um", "µm", "μm", "micron")
	add(L, 1e3, "km")
	add(L, inch, "in", "inch", "inches")
	add(L, inch/1000, "mil")
	add(L, 12*inch, "ft", "foot", "feet")
	add(L, 36*inch, "yd", "yard", "yards")
	add(L, 1852, "nmi")
	add(A, 36*36*inch*inch, "sqyd")
	add(V, 1e-3, "L", "l", "litre", "liter")
	add(V, 1e-6, "mL", "ml", "cc")
	add(V, gal, "gal")
	add(V, gal/4, "qt")
	add(V, gal/8, "pt")
	add(V, gal/128, "floz", "fl_oz")
	add(M, 1, "kg")
	add(M, 1e-3, "g")
	add(M, 1e-6, "mg")
	add(M, pound, "lb", "lbs", "lbm")
	add(M, pound/16, "oz")
	add(T, 1, "s", "sec")
	add(T, 60, "min")
	add(T, 3600, "h", "hr", "hour", "hours")
	add(T, 86400, "d", "day", "days")

	add(Dim{Th: 1}, 1, "K")
	add(Dim{Th: 1}, 5.0/9, "degR")
	for name, size := range map[string]float64{"delta_degC": 1, "delta_C": 1, "delta_degF": 5.0 / 9, "delta_F": 5.0 / 9} {
		u[name] = unit{dim: Dim{Th: 1}, size: size, delta: true}
	}
	scale(1, zeroCelsius, "degC", "°C", "℃")
	scale(5.0/9, zeroCelsius-32*5.0/9, "degF", "°F", "℉")
	add(Dim{N: 1}, 1, "mol", "eq")
	add(Dim{A: 1}, 1, "rad")
	add(Dim{A: 1}, 0.017453292519943295, "deg", "°")
	add(Dim{}, 0.01, "%")

	add(F, 1, "N")
	add(F, 1e3, "kN")
	add(F, lbf, "lbf")
	add(P, 1, "Pa")
	add(P, 1e-3, "mPa")
	add(P, 1e2, "hPa", "mbar")
	add(P, 1e3, "kPa")
	add(P, 1e5, "bar")
	add(P, 1e6, "MPa")
	add(P, 1e9, "GPa")
	add(P, 101325, "atm")
	add(P, 101325.0/760, "torr", "Torr")
	add(P, 133.322387415, "mmHg")
	add(P, inHg, "inHg")
	add(P, 249.08891, "inH2O")
	add(P, psi, "psi")
	add(P, 1e3*psi, "ksi")
	add(P, 1e6*psi, "Msi")
	add(P, psi/144, "psf")
	add(E, 1, "J")
	add(E, 1e3, "kJ")
	add(E, 1e6, "MJ")
	add(E, btu, "BTU", "Btu", "btu")
	add(E, 4.1868, "cal")
	add(E, 4186.8, "kcal")
	add(E, 3600, "Wh")
	add(E, 3.6e6, "kWh")
	add(W, 1, "W")
	add(W, 1e3, "kW")
	add(W, 550*12*inch*lbf, "hp")
	add(kinds[velocity].Dim, 1852.0/3600, "kt", "kn", "knot", "knots")
	add(kinds[velocity].Dim, 1609.344/3600, "mph")
	add(kinds[volumeFlow].Dim, 1728*inch*inch*inch/60, "cfm")
	add(kinds[volumeFlow].Dim, gal/60, "gpm")
	add(kinds[viscosity].Dim, 0.1, "P", "poise")
	add(kinds[viscosity].Dim, 1e-3, "cP")
	add(kinds[kinematicViscosity].Dim, 1e-6, "cSt")
	add(kinds[rate].Dim, 1, "Hz")
	add(kinds[rate].Dim, 1.0/60, "rpm")
	add(kinds[linearMass].Dim, 1e-6, "tex")
	add(kinds[linearMass].Dim, 1e-7, "dtex")
	add(kinds[linearMass].Dim, 1e-6/9, "denier", "den")
	return u
}

// american are the units that shops with US gauges and rules write; kt and nmi are everybody's.
var american = map[string]bool{"in": true, "inch": true, "inches": true, "mil": true, "ft": true, "foot": true, "feet": true, "yd": true, "yard": true,
	"yards": true, "sqyd": true, "gal": true, "qt": true, "pt": true, "floz": true, "fl_oz": true, "lb": true, "lbs": true, "lbm": true, "oz": true,
	"degF": true, "°F": true, "℉": true, "degR": true, "lbf": true, "inHg": true, "inH2O": true, "psi": true, "ksi": true, "psf": true,
	"BTU": true, "Btu": true, "btu": true, "hp": true, "mph": true, "cfm": true, "gpm": true}

// American tells whether a text is a quantity with a US unit.
func American(text string) bool {
	if text = strings.TrimSpace(text); text == "" || !strings.ContainsAny(text[:1], "0123456789.-+") {
		return false
	}
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !strings.ContainsRune("°_2", r) }) {
		if american[word] {
			return true
		}
	}
	return false
}
