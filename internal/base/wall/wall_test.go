package wall

import (
	"math"
	"strings"
	"testing"

	"laywright/internal/base/si"
)

// A ply of graphite/epoxy, straight and at 60 degrees (Kaw, examples 2.6 and 2.7).
func TestLaminaOfKaw(t *testing.T) {
	all := loadCases(t)
	c := all["lamina_Q_S_graphite_epoxy"]
	p := read[caseMaterial](t, c.Inputs, "material").ply(0, 1)
	nearMatrix(t, "Q", p.Elastic.Reduced(), read[Matrix](t, c.Expected, "Q"))

	c = all["lamina_60deg_Qbar"]
	nearMatrix(t, "Q at 60 degrees", p.Elastic.Reduced().Turned(si.Degrees(60)), read[Matrix](t, c.Expected, "Qbar"))
	s := read[Vec](t, c.Inputs, "stress_xy")
	nearVec(t, "stress in the ply", StressIn(s, si.Degrees(60)), read[Vec](t, c.Expected, "stress_12"))
	w, err := Stiffen([]Ply{read[caseMaterial](t, c.Inputs, "material").ply(60, 1)})
	if err != nil {
		t.Fatal(err)
	}
	e := w.Respond(Load{N: s}).Mid // a wall 1 m thick: force per width is stress
	nearVec(t, "strain", e, read[Vec](t, c.Expected, "strain_xy"))
}

// Walls of textbooks: stiffness, strain under load and temperature, ply stress.
func TestWallsOfTextbooks(t *testing.T) {
	for name, c := range loadCases(t) {
		if !strings.HasPrefix(name, "clt_") || c.Inputs["angles_deg"] == nil || c.Inputs["material"] == nil {
			continue
		}
		t.Run(name, func(t *testing.T) {
			plies := c.plies(t)
			w, err := Stiffen(plies)
			if err != nil {
				t.Fatal(err)
			}
			for key, got := range map[string]Matrix{"A": w.A, "B": w.B, "D": w.D} {
				if c.Expected[key] != nil {
					nearMatrix(t, key, got, read[Matrix](t, c.Expected, key))
				}
			}
			checkConstants(t, c, &w)
			checkStresses(t, c, plies, &w)
		})
	}
}

func checkConstants(t *testing.T, c testCase, w *Stiffness) {
	plane, bend, alpha := w.Membrane(), w.Bending(), w.InPlaneExpansion()
	for key, got := range map[string]float64{
		"Ex": float64(plane.E1), "Ey": float64(plane.E2), "Gxy": float64(plane.G12), "nuxy": plane.Nu12,
		"Exf": float64(bend.E1), "Eyf": float64(bend.E2), "Gxyf": float64(bend.G12), "nuxyf": bend.Nu12,
		"alpha_x": alpha[0], "alpha_y": alpha[1], "alpha_xy": alpha[2],
	} {
		if c.Expected[key] != nil {
			near(t, key, got, read[float64](t, c.Expected, key), 0)
		}
	}
}

func checkStresses(t *testing.T, c testCase, plies []Ply, w *Stiffness) {
	if c.Expected["plies"] == nil {
		return
	}
	var load Load
	strain := Strain{}
	if c.Inputs["dT"] != nil {
		load.DT = si.TemperatureDifference(read[float64](t, c.Inputs, "dT"))
	}
	if c.Inputs["e0"] != nil {
		strain = Strain{read[Vec](t, c.Inputs, "e0"), read[Vec](t, c.Inputs, "kappa")}
	} else {
		if c.Inputs["N"] != nil {
			load.N, load.M = read[Vec](t, c.Inputs, "N"), read[Vec](t, c.Inputs, "M")
		}
		strain = w.Respond(load)
		nearVec(t, "midplane strain", strain.Mid, read[Vec](t, c.Expected, "e0"))
		nearVec(t, "curvature", strain.Curvature, read[Vec](t, c.Expected, "kappa"))
	}
	type row struct {
		Ply      int
		Where    string // the books' z points down: their top is the mould side
		Stress12 Vec    `json:"stress_12"`
	}
	for _, r := range read[[]row](t, c.Expected, "plies") {
		faces := Stresses(plies, strain, load.DT)[r.Ply-1]
		switch r.Where {
		case "top":
			nearVec(t, "stress towards the mould", faces.Bottom, r.Stress12)
		case "bottom":
			nearVec(t, "stress away from the mould", faces.Top, r.Stress12)
		}
	}
}

// A narrow cantilever of [0/45/-45/90]s: w = P·L³·d₁₁/(3b) (Jones; Hyer).
func TestBendingModulusOfNarrowBeam(t *testing.T) {
	c := loadCases(t)["beam_laminate_cantilever"]
	w, err := Stiffen(c.plies(t))
	if err != nil {
		t.Fatal(err)
	}
	want := read[float64](t, c.Expected, "d11")
	h := w.Thickness
	near(t, "d11", 12/(h*h*h*float64(w.Bending().E1)), want, 0)
	near(t, "d11 by response", w.Respond(Load{M: Vec{1, 0, 0}}).Curvature[0], want, 0)
}

// Turning a wall by an angle and its load with it must turn the answer alone:
// the stresses in each ply's own axes stay.
func TestTurnedWallKeepsItsPlyStresses(t *testing.T) {
	c := loadCases(t)["clt_kaw_4_2_0_30_m45"]
	plies := c.plies(t)
	w, _ := Stiffen(plies)
	load := Load{N: Vec{1000, 400, -300}, M: Vec{2, -1, 0.5}, DT: -40}
	want := Stresses(plies, w.Respond(load), load.DT)
	turn := si.Degrees(37)
	turned := append([]Ply(nil), plies...)
	for i := range turned {
		turned[i].Angle += turn
	}
	tw, _ := Stiffen(turned)
	tload := Load{N: StressIn(load.N, -turn), M: StressIn(load.M, -turn), DT: load.DT}
	got := Stresses(turned, tw.Respond(tload), tload.DT)
	for i := range want {
		nearVec(t, "bottom", got[i].Bottom, want[i].Bottom)
		nearVec(t, "top", got[i].Top, want[i].Top)
	}
}

// A wall free of load that grows alike everywhere has no stress.
func TestEvenExpansionLeavesNoStress(t *testing.T) {
	m := caseMaterial{E1: 70e9, E2: 70e9, G12: 26.3e9, Nu12: 0.33, A1: 2e-5, A2: 2e-5}
	plies := []Ply{m.ply(0, 1e-3), m.ply(30, 2e-3)}
	w, _ := Stiffen(plies)
	for _, f := range Stresses(plies, w.Respond(Load{DT: 50}), 50) {
		for i := range f.Top {
			if math.Abs(f.Top[i]) > 1 || math.Abs(f.Bottom[i]) > 1 { // of 70 MPa if held
				t.Errorf("stress %v %v Pa, want 0", f.Bottom, f.Top)
			}
		}
	}
}

// A sheared weave has the stiffness of its two families at their true angles:
// at shear γ a balanced one is symmetric about the bisector of its yarns.
func TestShearedWeaveIsSymmetricAboutItsBisector(t *testing.T) {
	y := Yarns{Along: Elastic{105e9, 6.4e9, 2.7e9, 0.28}, WarpShare: 0.5}
	e, _ := y.Weave()
	p := Ply{Elastic: &e, Yarns: &y, Thickness: 2e-4, Woven: true}
	shear := si.Degrees(30)
	sheared := p.Sheared(shear)
	near(t, "thickness", float64(sheared.Thickness), 2e-4/math.Cos(math.Pi/6), 0)
	q, _ := sheared.own()
	b := q.Turned(-(math.Pi/2 - shear) / 2) // into axes along the bisector
	if math.Abs(b[0][2]) > 1e-6*q[0][0] || math.Abs(b[1][2]) > 1e-6*q[0][0] {
		t.Errorf("coupling %g %g along the bisector, want 0", b[0][2], b[1][2])
	}
	if !(b[0][0] > b[1][1]) {
		t.Errorf("stiffness %g along the bisector, %g across: yarns lie nearer to the bisector", b[0][0], b[1][1])
	}
	flat, _ := p.own()
	nearMatrix(t, "no shear", flat, e.Reduced())
}

// A hand-made identity: the weave of two families under equal strain carries
// half of each.
func TestWeaveIsMeanOfItsFamilies(t *testing.T) {
	y := Yarns{Along: Elastic{100e9, 8e9, 3e9, 0.3}, Expansion: &Expansion{0, 30e-6}, WarpShare: 0.5}
	e, x := y.Weave()
	q := y.Along.Reduced()
	near(t, "Q11", e.Reduced()[0][0], (q[0][0]+q[1][1])/2, 0)
	near(t, "balance", float64(e.E1), float64(e.E2), 0)
	near(t, "expansion balance", float64(x.Alpha1), float64(x.Alpha2), 0)
	// A cross-ply wall of the same two families expands the same.
	ply := func(deg float64) Ply {
		return Ply{Thickness: 1e-3, Angle: si.Degrees(deg), Elastic: &y.Along, Expansion: y.Expansion}
	}
	w, _ := Stiffen([]Ply{ply(0), ply(90), ply(90), ply(0)})
	near(t, "expansion", float64(x.Alpha1), w.InPlaneExpansion()[0], 0)
}

// A wall of one sheared weave must be that of two thin plies at the angles of
// its families, stacked symmetrically, in stretch, shear and heat.
func TestShearedWeaveIsItsTwoFamilies(t *testing.T) {
	y := Yarns{Along: Elastic{105e9, 6.4e9, 2.7e9, 0.28}, Expansion: &Expansion{-0.2e-6, 35e-6}, WarpShare: 0.5}
	e, x := y.Weave()
	p := Ply{Elastic: &e, Expansion: x, Yarns: &y, Thickness: 2e-4, Woven: true, Angle: si.Degrees(20)}
	one, err := Stiffen([]Ply{p.Sheared(si.Degrees(25))})
	if err != nil {
		t.Fatal(err)
	}
	var families []Ply
	for _, deg := range []float64{20, 85, 85, 20} {
		families = append(families, Ply{Elastic: &y.Along, Expansion: y.Expansion, Angle: si.Degrees(deg), Thickness: si.Length(one.Thickness / 4)})
	}
	two, _ := Stiffen(families)
	nearMatrix(t, "A", one.A, two.A)
	nearVec(t, "thermal force", one.NT, two.NT)
	strain := Strain{Mid: Vec{1e-3, -2e-4, 5e-4}}
	s := Stresses([]Ply{p.Sheared(si.Degrees(25))}, strain, -30)[0].Top
	var mean Vec
	for i, f := range Stresses(families, strain, -30)[:2] {
		part := StressIn(StressIn(f.Top, -families[i].Angle), p.Angle)
		for k := range mean {
			mean[k] += part[k] / 2
		}
	}
	nearVec(t, "stress", s, mean)
}

// 5/6·G·h for one material however it is sliced; G·d²/c for a sandwich of thin
// skins, whose error is of the order of the skins' share of the thickness.
func TestShearThroughTheWall(t *testing.T) {
	m := caseMaterial{E1: 70e9, E2: 70e9, G12: 28e9, Nu12: 0.25} // isotropic
	one, _ := Stiffen([]Ply{m.ply(0, 1e-3), m.ply(30, 0.5e-3), m.ply(90, 2.5e-3)})
	within(t, "one material", one.Shear[0], 5.0/6*28e9*4e-3, 1e-12)
	within(t, "one material", one.Shear[1], 5.0/6*28e9*4e-3, 1e-12)
	foam := caseMaterial{E1: 1e5, E2: 1e5, G12: 27e6, Nu12: 0.3}.ply(0, 10e-3)
	skin := m.ply(0, 0.05e-3)
	sandwich, _ := Stiffen([]Ply{skin, foam, skin})
	within(t, "sandwich", sandwich.Shear[0], 27e6*10.05e-3*10.05e-3/10e-3, 1e-3)
	// Under 1 N/m a single material bears 1.5/h in its middle, a core about 1/d.
	within(t, "peak of one material", ThroughStress([]Ply{m.ply(0, 4e-3)})[0][0], 1.5/4e-3, 1e-12)
	within(t, "core", ThroughStress([]Ply{skin, foam, skin})[1][0], 1/10.05e-3, 1e-3)
	// A ply on end: its 1-3 plane lies along y.
	lean := m.ply(90, 1e-3)
	lean.G13, lean.G23 = 5e9, 2e9
	w, _ := Stiffen([]Ply{lean})
	within(t, "x", w.Shear[0], 5.0/6*2e9*1e-3, 1e-12)
	within(t, "y", w.Shear[1], 5.0/6*5e9*1e-3, 1e-12)
}

func TestRefusesUnstablePly(t *testing.T) {
	for _, e := range []*Elastic{nil, {1e9, 1e9, 1e9, 1.2}, {si.Pressure(math.NaN()), 1e9, 1e9, 0.3}, {1e9, 1e9, 0, 0.3}} {
		if _, err := Stiffen([]Ply{{Name: "bad", Thickness: 1e-3, Elastic: e}}); err == nil {
			t.Errorf("%v was taken", e)
		}
	}
}

// graphite is the graphite/epoxy of Kaw's table 2.1.
var graphite = caseMaterial{E1: 181e9, E2: 10.3e9, G12: 7.17e9, Nu12: 0.28,
	Xt: 1500e6, Xc: 1500e6, Yt: 40e6, Yc: 246e6, S: 68e6, A1: 0.02e-6, A2: 22.5e-6}

func graphiteWall(t float64, angles ...float64) []Ply {
	var out []Ply
	for _, a := range angles {
		out = append(out, graphite.ply(a, t))
	}
	return out
}

// within holds a number to one printed in a book.
func within(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: %.6g, want %.6g", what, got, want)
	}
}

// [0/90] cooled by 75 K (Kaw, section 4.5). The book's z points down, so its
// moments and curvatures have the same sign with the plies listed its way.
func TestThermalWarpOfKaw(t *testing.T) {
	plies := graphiteWall(5e-3, 0, 90)
	w, _ := Stiffen(plies)
	const printed = 1e-3 // four digits
	within(t, "thermal force", -75*w.NT[0], -1.131e5, printed)
	within(t, "thermal moment", -75*w.MT[0], -153.8, printed)
	e := w.Respond(Load{DT: -75})
	within(t, "strain", e.Mid[0], -3.907e-4, printed)
	within(t, "curvature", e.Curvature[0], -0.1276, printed)
	within(t, "curvature", e.Curvature[1], 0.1276, printed)
	s := Stresses(plies, e, -75)[0].Bottom
	within(t, "stress 1", s[0], 47.18e6, printed)
	within(t, "stress 2", s[1], 7.535e6, printed)
}

// [0/45/-45/90]s under Nx: 276.1 kN/m alone, 128.5 kN/m cooled by 100 K, the 90
// ply both times (constructed, worked out independently). The ratio must scale
// the mechanical part alone.
func TestResidualStressHalvesFirstFailure(t *testing.T) {
	plies := graphiteWall(0.125e-3, 0, 45, -45, 90, 90, -45, 45, 0)
	w, _ := Stiffen(plies)
	load := Stresses(plies, w.Respond(Load{N: Vec{1, 0, 0}}), 0)
	heat := Stresses(plies, w.Respond(Load{DT: -100}), -100)
	weakest := func(held func(i int) Vec) (ply int, ratio float64) {
		ratio = math.Inf(1)
		for i, p := range plies {
			if r := p.Fail(TsaiWu, held(i), load[i].Top).Ratio; r < ratio {
				ply, ratio = i, r
			}
		}
		return ply, ratio
	}
	ply, r := weakest(func(int) Vec { return Vec{} })
	within(t, "cold", r, 276.1e3, 5e-4)
	hotPly, hot := weakest(func(i int) Vec { return heat[i].Top })
	within(t, "cooled", hot, 128.5e3, 5e-4)
	if ply != 3 || hotPly != 3 {
		t.Errorf("plies %d and %d fail first, want the 90", ply, hotPly)
	}
}
