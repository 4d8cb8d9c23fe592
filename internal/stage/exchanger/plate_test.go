package exchanger

import (
	"math"
	"testing"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

var plates = material.Fins{Family: "plate", Pitch: 2.12e-3, Thickness: 0.12e-3, Diameter: 10e-3, TubePitch: 25.4e-3, RowPitch: 22e-3, K: 200}

// [gray-webb1986] worked by hand at Re 1000, s/D 0.2, P_t/P_l 1.1545: j₄ 0.012852.
// Two rows: 0.991·[2.24·1000^−0.092·0.5^−0.031]^1.214 = 1.248 of that. f of the fins
// 0.508·1000^−0.521·2.54^1.318 = 0.04743.
func TestPlateByHand(t *testing.T) {
	deep := newPlate(plates, 0.088)
	near(t, "rows", deep.rows, 4, 0)
	near(t, "j", deep.colburn(1000, 0.71), 0.012852, 1e-3)
	two := newPlate(plates, 0.044)
	near(t, "j of two rows", two.colburn(1000, 0.71)/deep.colburn(1000, 0.71), 0.991*math.Pow(2.24*math.Pow(1000, -0.092)*math.Pow(0.5, -0.031), 1.214), 1e-9)
	fins, tubes := deep.areas()
	tube := 4 / math.Pi * (0.25 + 0.118*math.Pow(1000, -0.16)/math.Pow(1.54, 1.08)) * 1.54
	near(t, "f", deep.fanning(1000)*(fins+tubes), 0.04743*fins+tube*tubes, 1e-3)
}

// Surface and section of a cell by hand: P_t 25.4, P_l 22, D 10, F_p 2.12, δ 0.12 mm.
func TestPlateCell(t *testing.T) {
	s, err := NewSurface(Geometry{Face: Face{0.25, 0.1524}, Depth: 0.044, Tubes: Tubes{Film: 900, Wall: 0.5e-3}}, plates, nil, "core")
	if err != nil {
		t.Fatal(err)
	}
	fin, bare := 2*(25.4*22-math.Pi*25), math.Pi*10*2.0
	near(t, "σ", s.sigma, 15.4*2.0/(25.4*2.12), 1e-12)
	near(t, "fin share", s.finShare, fin/(fin+bare), 1e-12)
	near(t, "air area", s.airArea, (fin+bare)*1e3/(25.4*22*2.12)*0.25*0.1524*0.044, 1e-9)
	near(t, "liquid area", s.wetted, math.Pi*9e-3*0.25*12, 1e-9) // six tubes high, two rows
	f, err := s.Film(Conditions{Passes: 1, AirFlow: 0.06, AirIn: 263, AirOut: 320, Liquid: 360, Pressure: 9e4})
	if err != nil || !(f.UA > 10 && f.UA < 200 && f.Loss > 1 && f.Loss < 200) {
		t.Errorf("%+v %v", f, err)
	}
}

// Liquid in pipes: Poiseuille's 32·μ·L·V/D² and the entry's 1.25 heads; Hausen's
// 7.248 at x = 0.01 and 3.66 far on.
func TestPipe(t *testing.T) {
	c := channel{hydraulic: 9e-3, along: 2, round: true}
	const re = 500.0
	near(t, "loss", 4*c.friction(re)*2/9e-3, 64/re*2/9e-3+1.25, 1e-9)
	near(t, "Nu", hausen(0.01), 7.248, 1e-3)
	near(t, "far on", c.nusselt(1, 0.01), 3.66, 1e-2)
}

// Cores outside what their correlation was made from are told, with the range.
func TestOutsideIsTold(t *testing.T) {
	surface := func(r material.Fins, depth si.Length) *Surface {
		s, err := NewSurface(Geometry{Face: Face{0.25, 0.15}, Depth: depth, Tubes: Tubes{Film: 900}}, r, nil, "core")
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	if out := surface(plates, 0.044).Outside(); out != nil {
		t.Errorf("%+v", out)
	}
	wide := plates
	wide.TubePitch = 30e-3
	if out := surface(wide, 0.044).Outside(); len(out) != 1 || out[0].Value != 3 || out[0].High != 2.55 {
		t.Errorf("%+v", out)
	}
	louvres := material.Fins{Family: "louvred", Pitch: 2e-3, Height: 8e-3, Thickness: 0.1e-3, TubeThick: 3e-3,
		LouvrePitch: 1.5e-3, LouvreLength: 6.5e-3, LouvreAngle: si.Degrees(25), K: 180}
	if out := surface(louvres, 0.05).Outside(); out != nil {
		t.Errorf("%+v", out)
	}
	if out := surface(louvres, 0.08).Outside(); len(out) != 1 || out[0].Name != "depth" {
		t.Errorf("%+v", out)
	}
}

// The air's time in the core is the core's air over the volume flow, at one density
// the same for every number of passes.
func TestTimeInCore(t *testing.T) {
	s := referenceCore(t)
	volume := s.sigma * 0.25 * 0.15 * 0.05
	for n := 1; n <= 4; n++ {
		sum := 0.0
		for range n {
			f, err := s.Film(Conditions{Passes: n, AirFlow: 0.06, AirIn: 300, AirOut: 300, Liquid: 363, Pressure: 84300})
			if err != nil {
				t.Fatal(err)
			}
			sum += float64(f.Residence)
		}
		near(t, "time", sum, volume*84300/(287.05287*300)/0.06, 1e-9)
	}
}
