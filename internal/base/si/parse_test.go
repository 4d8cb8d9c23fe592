package si

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Sizes are those of NIST SP 811 (2008), appendix B.8, and follow exactly from
// the definitions of the inch, the pound and standard gravity.
func TestParseKnownSizes(t *testing.T) {
	cases := []struct {
		text string
		kind Kind
		want float64
	}{
		{"2.5 mm", kinds[length], 0.0025},
		{"1/4 in", kinds[length], 0.00635},
		{"1 1/4 in", kinds[length], 0.03175},
		{"-1 1/2 in", kinds[length], -0.0381},
		{"10000 ft", kinds[length], 3048},
		{"5 mil", kinds[length], 1.27e-4},
		{"5.7 oz/yd^2", kinds[arealMass], 0.1932628},
		{"193 g/m2", kinds[arealMass], 0.193},
		{"193 g/m²", kinds[arealMass], 0.193},
		{"22 inHg", kinds[pressure], 74500.55},
		{"850 mbar", kinds[pressure], 85000},
		{"14.5 psi", kinds[pressure], 99973.98},
		{"10 ksi", kinds[pressure], 68947572.93},
		{"180 degF", kinds[temperature], 355.372222},
		{"180°F", kinds[temperature], 355.372222},
		{"-40 degC", kinds[temperature], 233.15},
		{"−40 degF", kinds[temperature], 233.15},
		{"54 delta_degF", kinds[temperatureDifference], 30},
		{"30 K", kinds[temperatureDifference], 30},
		{"1900 Btu/min", kinds[power], 33410.1},
		{"95 kt", kinds[velocity], 48.8722},
		{"18 L/min", kinds[volumeFlow], 3e-4},
		{"10.5 gal/min", kinds[volumeFlow], 6.62447e-4},
		{"8 fl oz", kinds[volume], 2.36588e-4},
		{"198 tex", kinds[linearMass], 1.98e-4},
		{"9000 denier", kinds[linearMass], 1e-3},
		{"0.2 W/(m K)", kinds[conductivity], 0.2},
		{"0.2 W/m/K", kinds[conductivity], 0.2},
		{"1 BTU/(h*ft^2*delta_degF)", kinds[heatTransfer], 5.678263},
		{"0.02e-6 1/K", kinds[expansion], 2e-8},
		{"1.2e3 1/s", kinds[rate], 1200},
		{"58 kJ/mol", kinds[molarEnergy], 58000},
		{"700 mPa s", kinds[viscosity], 0.7},
		{"55 %", kinds[fraction], 0.55},
		{"0.45", kinds[fraction], 0.45},
		{"650 W/K", kinds[conductance], 650},
		{"1000 N/m", kinds[lineLoad], 1000},
		{"45 deg", kinds[angle], math.Pi / 4},
	}
	for _, c := range cases {
		got, err := ParseKind(c.text, c.kind)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
		} else if math.Abs(got.SI-c.want) > 2e-6*math.Abs(c.want) {
			t.Errorf("%q is %.9g, want %.9g", c.text, got.SI, c.want)
		}
	}
}

func TestParseTolerance(t *testing.T) {
	cases := []struct {
		text       string
		kind       Kind
		size, half float64
	}{
		{"61 degF ± 4 degF", kinds[temperature], 289.261111, 4.0 * 5 / 9},
		{"61 degF +/- 2 K", kinds[temperature], 289.261111, 2},
		{"61 ± 4 degF", kinds[temperature], 289.261111, 4.0 * 5 / 9},
		{"193 g/m^2 ± 5 %", kinds[arealMass], 0.193, 0.00965},
		{"2.5 mm ± 0.1", kinds[length], 0.0025, 1e-4},
		{"45 % ± 2 %", kinds[fraction], 0.45, 0.02},
	}
	for _, c := range cases {
		got, err := ParseKind(c.text, c.kind)
		if err != nil || math.Abs(got.SI-c.size) > 1e-6*c.size || math.Abs(got.Tolerance-c.half) > 1e-9 {
			t.Errorf("%q is %+v (%v), want %v ± %v", c.text, got, err, c.size, c.half)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	cases := []struct {
		text   string
		kind   Kind
		column int
		says   string
	}{
		{"0.35", kinds[area], 5, "unit is missing"},
		{"35 mm", kinds[area], 4, "must be an area"},
		{"", kinds[length], 1, "a number must stand here"},
		{"mm", kinds[length], 1, "a number must stand here"},
		{"2,5 mm", kinds[length], 1, "comma"},
		{"4,300 ft", kinds[length], 1, "comma"},
		{"3 furlong", kinds[length], 3, "not a unit known here"},
		{"3 degF/min", kinds[rate], 3, "thermometer"},
		{"30 degC", kinds[temperatureDifference], 4, "temperature difference"},
		{"-300 degC", kinds[temperature], 6, "absolute zero"},
		{"2 mm wide", kinds[length], 6, "not a unit known here"},
		{"2 mm ± -1 mm", kinds[length], 11, "not negative"},
		{"2 mm ± 1 s", kinds[length], 10, "tolerance is a time"},
		{"1e999 m", kinds[length], 1, "too large"},
		{"1/0 in", kinds[length], 4, "fraction"},
		{"2 m^9", kinds[length], 5, "at most"},
		{"2 W/(m", kinds[conductivity], 7, "bracket"},
		{"NaN m", kinds[length], 1, "a number must stand here"},
		{"22 inHg", kinds[length], 4, "must be a length"},
		{"293 delta_degC", kinds[temperature], 5, "this is a difference"},
	}
	for _, c := range cases {
		_, err := ParseKind(c.text, c.kind)
		var e *Error
		if !errors.As(err, &e) {
			t.Errorf("%q was taken", c.text)
			continue
		}
		if !strings.Contains(e.What, c.says) {
			t.Errorf("%q says %q, want it to say %q", c.text, e.What, c.says)
		}
		if e.Column != c.column && c.column > 1 {
			t.Errorf("%q: column %d, want %d (%s)", c.text, e.Column, c.column, e.What)
		}
	}
}

// Format then parse gives the same value, for every kind in every unit it is shown in.
func TestFormatThenParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := kinds[rapid.IntRange(0, len(kinds)-1).Draw(t, "kind")]
		name := rapid.SampledFrom(append(append(list{}, k.Metric...), k.US...)).Draw(t, "unit")
		x := rapid.Float64Range(-1e9, 1e9).Draw(t, "size")
		u, ok := unitOf(name, k)
		if !ok {
			t.Fatalf("%s is shown in %q, which is no unit of it", k.Name, name)
		}
		if k.Name == "temperature" {
			x = math.Abs(x)
		}
		text := join(formatExact(u.fromSI(x-u.zero)), name)
		got, err := ParseKind(text, k)
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		if math.Abs(got.SI-x) > 4e-15*(math.Abs(x)+math.Abs(u.zero)) {
			t.Fatalf("%q gives %.17g, want %.17g", text, got.SI, x)
		}
	})
}

func TestShow(t *testing.T) {
	cases := []struct{ got, want string }{
		{Show(Length(0.0254), US, 3), "1 in"},
		{Show(Length(0.00025), Metric, 3), "0.25 mm"},
		{Show(Celsius(60), US, 3), "140 degF"},
		{Show(Celsius(60), Metric, 3), "60 degC"},
		{Show(Pressure(81300), Metric, 3), "81.3 kPa"},
		{Show(Mass(0.4374), Metric, 3), "437 g"},
		{Show(Power(5045.2), Metric, 3), "5.05 kW"},
		{Show(Time(5400), Metric, 3), "1.5 h"},
		{Show(Volume(2.36588e-4), US, 3), "8 fl oz"},
		{Show(Mass(1150), Metric, 3), "1150 kg"},
	}
	for _, c := range cases {
		if c.got != c.want {
			t.Errorf("shown as %q, want %q", c.got, c.want)
		}
	}
}

func TestLocalise(t *testing.T) {
	for _, c := range []struct {
		x    float64
		unit string
		want float64
		us   string
	}{{60, "degC", 140, "degF"}, {25.4, "mm", 1, "in"}, {30, "K", 54, "delta_degF"}, {33.90575, "g/m^2", 1, "oz/yd^2"}, {7, "min", 7, "min"}, {7, "% of the part", 7, "% of the part"}} {
		got, unit := Localise(c.x, c.unit, US)
		if math.Abs(got-c.want) > 1e-6 || unit != c.us {
			t.Errorf("%v %s is %v %s, want %v %s", c.x, c.unit, got, unit, c.want, c.us)
		}
		if got, unit := Localise(c.x, c.unit, Metric); got != c.x || unit != c.unit {
			t.Errorf("metric %v %s became %v %s", c.x, c.unit, got, unit)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"2.5 mm", "1 1/4 in", "61 degF ± 4 degF", "0.2 W/(m K)", "1e-6 1/K", "((((", "5 %", "1/", "8 fl oz", "2 m^-2"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, k := range kinds {
			v, err := ParseKind(s, k)
			if err == nil && (math.IsNaN(v.SI) || math.IsInf(v.SI, 0) || v.Tolerance < 0) {
				t.Errorf("%q gives %+v", s, v)
			}
			var e *Error
			if err != nil && (!errors.As(err, &e) || e.Column < 1) {
				t.Errorf("%q: %v has no place", s, err)
			}
		}
	})
}
