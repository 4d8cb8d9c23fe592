package exchanger

import (
	"math"
	"testing"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: got %.6g, want %.6g within %.2g", what, got, want, rel)
	}
}

// The geometry and its j and f come from the documentation of a public model
// library's louvred-fin block (derived: equations evaluated independently).
// Its tube pitch does not fit its fins, so it checks the equations only.
func TestLouvredTable(t *testing.T) {
	l := louvred{finPitch: 1.8e-3, finLength: 19e-3, finThick: 0.1e-3, louvrePitch: 1.534e-3, louvreLength: 16.07e-3,
		louvreDegree: 28, tubePitch: 19.7e-3, tubeThick: 5e-3, depth: 26e-3, hydraulic: 3.104e-3}
	l.shape = l.shaped()
	for _, c := range []struct{ re, j, f float64 }{
		{100, 0.0520, 0.536}, {300, 0.0304, 0.213}, {500, 0.0236, 0.159}, {1000, 0.0168, 0.113}, {3000, 0.00983, 0.0714}} {
		near(t, "j", l.colburn(c.re, 0.71), c.j, 0.004)
		near(t, "f", l.fanning(c.re), c.f, 0.004)
	}
	for _, re := range []float64{creeping, slowEnd, fastStart} { // no jump where branches meet
		near(t, "f joins", l.fanning(re*(1+1e-9)), l.fanning(re*(1-1e-9)), 1e-6)
	}
}

// [manglik-bergles1995] evaluated independently for α 0.244, δ 0.032, γ 0.067.
func TestStripTable(t *testing.T) {
	x := strip{alpha: 0.244, delta: 0.032, gamma: 0.067}
	for _, c := range []struct{ re, j, f float64 }{
		{300, 0.02714, 0.1301}, {500, 0.02090, 0.0893}, {1000, 0.01489, 0.0554}, {2000, 0.01083, 0.0407}, {5000, 0.00730, 0.0307}} {
		near(t, "j", x.colburn(c.re, 0.7), c.j, 0.003)
		near(t, "f", x.fanning(c.re), c.f, 0.003)
	}
}

// The hydraulic diameter of the strip surface with 19.86 fins to the inch in
// [kays-london1984]: plates 6.35 mm apart, fins 0.152 mm, D_h 1.875 mm there.
// That surface is of plain rows, so a long strip is taken.
func TestStripDiameter(t *testing.T) {
	s := 25.4e-3/19.86 - 0.152e-3
	near(t, "D_h", stripDiameter(s, 6.35e-3-0.152e-3, 0.152e-3, 63.5e-3), 1.875e-3, 0.02)
}

// chainCore is the louvred core of the worked chain: 250 × 150 × 50 mm.
func chainCore() (*Surface, error) {
	fins := material.Fins{Family: "louvred", Pitch: 2e-3, Height: 8e-3, Thickness: 0.1e-3, TubeThick: 3e-3,
		LouvrePitch: 1.5e-3, LouvreLength: 6.5e-3, LouvreAngle: si.Degrees(25), K: 180}
	return NewSurface(Geometry{Face: Face{0.25, 0.15}, Depth: 0.05, Tubes: Tubes{Film: 900, Wall: 1e-9}}, fins, nil, "core")
}

func referenceCore(t *testing.T) *Surface {
	t.Helper()
	s, err := chainCore()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A hand-worked chain at 0.06 kg/s, two passes, 300 K: G 4.690, Re 381.1,
// j 0.01803, f 0.09713, h 107.2, η 0.9523, A 1.6875 m², liquid 306.8 W/K, UA 110.3.
func TestWorkedChain(t *testing.T) {
	s := referenceCore(t)
	near(t, "air area", s.airArea, 1.6875, 1e-4)
	near(t, "tube area", s.wetted, 0.3409, 1e-3)
	near(t, "sigma", s.sigma, 0.682, 1e-3)
	kc, ke := abrupt(s.sigma)
	near(t, "K_c", kc, 0.130, 0.01)
	near(t, "K_e", ke, 0.101, 0.01)
	f, err := s.Film(Conditions{Passes: 2, AirFlow: 0.06, AirIn: 300, AirOut: 300, Liquid: 363, Pressure: 84300})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "Re", f.Reynolds, 381.1, 0.002)
	near(t, "h", float64(f.AirFilm), 107.2, 0.004)
	near(t, "η", f.Surface, 0.9523, 0.001)
	near(t, "UA of two passes", 2*float64(f.UA), 110.3, 0.003)
	near(t, "j", s.surface.colburn(381.1, 0.71), 0.01803, 0.001)
	near(t, "f", s.surface.fanning(381.1), 0.09713, 0.001)
}

// Half the flow over half the face is the same film on half the area.
func TestHalfFlowHalfFace(t *testing.T) {
	s := referenceCore(t)
	c := Conditions{Passes: 1, AirFlow: 0.06, AirIn: 263, AirOut: 340, Liquid: 363, Pressure: 84300}
	one, _ := s.Film(c)
	c.Passes, c.AirFlow = 2, 0.03
	two, _ := s.Film(c)
	near(t, "UA", 2*float64(two.UA), float64(one.UA), 1e-12)
	near(t, "loss", float64(two.Loss), float64(one.Loss), 1e-12)
}

// First pass of the same chain: entrance 6.5, acceleration 4.3, friction 70.5,
// exit −5.2, together 76.2 Pa, from −10 °C to the outlet of that pass.
func TestCoreLossParts(t *testing.T) {
	h := reference(t, 2)
	p, err := h.At(0.06)
	if err != nil {
		t.Fatal(err)
	}
	first := p.Passes[0]
	s := h.Core.(*Surface)
	flux := 0.06 * 2 / (s.sigma * s.face)
	l := lossThrough(flux, s.sigma, s.surface.fanning(first.Reynolds), s.airArea/(s.sigma*s.face),
		Conditions{Passes: 2, AirIn: first.AirIn, AirOut: first.AirOut, Pressure: 84300})
	near(t, "entrance", l.entrance, 6.5, 0.02)
	near(t, "acceleration", l.acceleration, 4.3, 0.04)
	near(t, "friction", l.friction, 70.5, 0.03)
	near(t, "exit", l.exit, -5.2, 0.03)
	near(t, "all", l.total(), 76.2, 0.03)
}

func reference(t *testing.T, n int) Heater {
	return Heater{Core: referenceCore(t), Flow: Cross, Arrangement: AcrossCounter, Passes: n,
		Liquid: Liquid{Inlet: si.Celsius(90), Rate: 650}, AirIn: si.Celsius(-10), Pressure: 84300}
}

// An independent program's table of the same core (same equations, other code,
// air properties all at 300 K, printed to whole pascals): outlet, heat, UA and
// core loss at a fixed flow.
func TestReferenceCoreTable(t *testing.T) {
	for _, c := range []struct {
		flow          float64
		n             int
		ua, out, heat float64
		loss          float64
	}{
		{0.03, 1, 68.4, 78.4, 2669, 11}, {0.03, 4, 111.5, 87.1, 2935, 343},
		{0.06, 1, 87.7, 64.3, 4488, 28}, {0.06, 2, 110.8, 72.2, 4965, 161}, {0.06, 3, 125.2, 75.8, 5182, 443}, {0.06, 4, 135.6, 77.9, 5311, 919},
		{0.09, 1, 100.1, 54.1, 5809, 50}, {0.09, 3, 139.2, 66.0, 6886, 794},
	} {
		p, err := reference(t, c.n).At(si.MassFlow(c.flow))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "UA", float64(p.UA), c.ua, 0.02)
		near(t, "outlet above inlet", p.AirOut.Celsius()+10, c.out+10, 0.006)
		near(t, "heat", float64(p.Heat), c.heat, 0.008)
		near(t, "core loss", float64(p.CoreLoss), c.loss, 0.045)
	}
}

// A developed laminar film in a thin tube against the plates' closed value
// Nu = 8.235 far from the entry, and the friction f·Re = 24.
func TestChannelFarFromEntry(t *testing.T) {
	c := newChannel(1e-3, 10, 1e6)
	c.flux = true
	near(t, "Nu", c.nusselt(100, 5), 8.235, 1e-3)
	near(t, "f·Re", 100*c.friction(100), 24, 1e-3)
	near(t, "turbulent Nu", c.nusselt(1e4, 0.7), 30.5, 0.05) // Dittus-Boelter 0.023·Re^0.8·Pr^0.4 gives 31.6
	for _, re := range []float64{laminarEnd, turbulentStart} {
		near(t, "Nu joins", c.nusselt(re*(1+1e-9), 5), c.nusselt(re*(1-1e-9), 5), 1e-6)
		near(t, "f joins", c.friction(re*(1+1e-9)), c.friction(re*(1-1e-9)), 1e-6)
	}
}

// Entry of laminar flow between plates. Thermal entry in developed flow at
// x = 0.001: 1.849·10 + 0.6 = 19.09, at 0.02: 8.716 ([shah-london1978]). Both
// growing together at Pr 0.7, x = 0.01, worked by hand: 10.33. Pressure:
// K(∞) 0.674 between plates and 1.552 in a square.
func TestChannelEntry(t *testing.T) {
	near(t, "thick liquid", 7.541+entryExcess(0.001, 1000), 19.09, 1e-3)
	near(t, "far on", 7.541+entryExcess(0.02, 1e5), 8.716, 1e-3)
	near(t, "air", 7.541+entryExcess(0.01, 0.7), 10.33, 2e-3)
	near(t, "K of plates", entranceExcess(0), 0.674, 0.01)
	near(t, "K of a square", entranceExcess(1), 1.552, 0.02)
	c := newChannel(0.01, 0.01, 0.5)
	near(t, "loss of 50 diameters", 4*c.friction(1000)*50, 4*14.23/1000*50+1.552, 0.01)
}

// An offset-strip cell by hand: s 2, h 6, t 0.2, l 3 mm: D_h = 144/50.8 mm. The
// fins' share and the tube walls' 2sl make up the whole surface.
func TestStripCell(t *testing.T) {
	near(t, "D_h", stripDiameter(2e-3, 6e-3, 0.2e-3, 3e-3), 144/50.8*1e-3, 1e-12)
	r := material.Fins{Family: "offset-strip", Pitch: 2.2e-3, Height: 6.2e-3, Thickness: 0.2e-3, StripLength: 3e-3, TubeThick: 3e-3, K: 180}
	s, err := NewSurface(Geometry{Face: Face{0.2, 0.15}, Depth: 0.05, Tubes: Tubes{Film: 500}}, r, nil, "core")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "fin share", s.finShare, 1-2*2*3/50.8, 1e-12)
	near(t, "σ", s.sigma, 2*6/(2.2*9.2), 1e-12)
	near(t, "area", s.airArea, 4*s.sigma*0.03*0.05/(144/50.8*1e-3), 1e-12)
}

// The liquid in one flat tube bank against plane Poiseuille flow and developed
// heat transfer: tubes 0.2 mm inside and 2 m long, slow glycol at 80 °C.
//
//	Δp = 12·μ·L·V/h²    h = 8.235·k/(2·0.2 mm)
func TestLiquidSide(t *testing.T) {
	fins := material.Fins{Family: "plain", Pitch: 2e-3, Height: 8e-3, Thickness: 0.1e-3, TubeThick: 1e-3, K: 180}
	g := Geometry{Face: Face{2, 0.18}, Depth: 0.0508, Tubes: Tubes{Wall: 0.4e-3}}
	c := Conditions{Passes: 1, LiquidFlow: 0.002, Liquid: si.Celsius(80)}
	side := func() (float64, float64) {
		s, err := NewSurface(g, fins, glycol(t), "core")
		if err != nil {
			t.Fatal(err)
		}
		h, dp, err := s.liquidSide(c)
		if err != nil {
			t.Fatal(err)
		}
		return h, float64(dp)
	}
	h, dp := side()
	v := 0.002 / (1038 * 20 * 0.2e-3 * 0.05) // twenty tubes
	near(t, "film", h, 8.235*0.411/0.4e-3, 0.015)
	near(t, "loss", dp, 12*0.98e-3*2*v/(0.2e-3*0.2e-3), 0.01)
	g.Tubes.Passes = 2 // half the tubes, twice the way: four times the loss
	_, twice := side()
	near(t, "two liquid passes", twice, 4*dp, 1e-3)
	g.Tubes.Turbulators = true
	much, more := side()
	near(t, "turbulated film", much, turbulatedFilm*h, 5e-3)
	near(t, "turbulated loss", more, turbulatedLoss*twice, 1e-9)
}
