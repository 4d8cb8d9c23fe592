package job_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"laywright/internal/base/fault"
	"laywright/internal/job"
)

// hot is the panel with a hot load, held as told.
func hot(held string) string {
	coarse := strings.Replace(panel, "mould: {", `mould: {triangle: "16 mm", `, 1)
	return strings.Replace(coarse, "part: {trim: whole}", `strength: {large_deflection: false}
duty: {loads: {pressure: "1 kPa", wall_temperature: "70 degC", through: "10 K", handling: {force: "100 N", patch: "80 mm"}, engine: {from: "800 rpm", to: "2700 rpm", cylinders: 4, blades: 2}}}
part: {trim: whole, held: `+held+"}", 1)
}

const corners = `fasteners: {diameter: "4 mm", at: {unit: mm, points: [[-130, -80, 0], [130, -80, 0], [130, 80, 0], [-130, 80, 0]]}}`

// What holds the part reaches strength: its expansion, and how warm it is where the
// wall is warm.
func TestGroundReachesStrength(t *testing.T) {
	squeezed := func(held string) float64 {
		t.Helper()
		return *mustMake(t, hot(held)).Strength.Cases[0].Index // hot, under pressure
	}
	along := squeezed("{edge: clamped}")
	aluminium := squeezed("{edge: clamped, on: aluminium}")
	if same := squeezed(`{edge: clamped, expansion: "23e-6 1/K"}`); math.Abs(same-aluminium) > 1e-9 {
		t.Errorf("by name %g, by number %g", aluminium, same)
	}
	if cold := squeezed(`{edge: clamped, on: aluminium, temperature: "20 degC"}`); cold == aluminium || cold == along {
		t.Errorf("a cold ground: %g, a warm one %g, one that grows along %g", cold, aluminium, along)
	}
}

func TestScrewsReachStrength(t *testing.T) {
	p := mustMake(t, hot("{on: steel, sheet: \"1 mm\", "+strings.Replace(corners, `"4 mm"`, `"4 mm", of: titanium, head: "9 mm", stiffness: "2 kN/mm", bearing: "250 MPa"`, 1)+"}"))
	f := p.Strength.Fasteners
	if len(f) != 4 || math.Abs(float64(f[0].Stiffness)-2e6) > 1e-3 || math.Abs(float64(f[0].Edge)-0.02) > 1e-9 || f[0].Margin == nil {
		t.Errorf("%+v", f)
	}
	if p.Strength.OffOrder == nil {
		t.Error("the engine did not reach strength")
	}
	if p = mustMake(t, hot(`{flange: {width: "20 mm", bond_line: "0.4 mm"}, on: glass-laminate}`)); p.Strength.Bond == nil {
		t.Error("no bond")
	}
}

// What can't be says the field and what to write.
func TestHeldRefused(t *testing.T) {
	for held, want := range map[string][2]string{
		"{edge: glued}":                           {"part.held.edge", "clamped or pinned"},
		"{edge: clamped, on: aluminum}":           {"part.held.on", "aluminium"},
		"{edge: clamped, on: cheese}":             {"part.held.on", "plywood"},
		`{edge: clamped, temperature: "60 degC"}`: {"part.held.temperature", "on:"},
		"{edge: clamped, flange: bonded}":         {"part.held.flange", "keep one"},
		"{flange: bonded}":                        {"part.held.flange", "width"},
		"{" + strings.Replace(corners, `"4 mm"`, `"4 mm", head: "3 mm"`, 1) + "}": {"part.held.fasteners.head", "washer"},
		"{" + strings.Replace(corners, `"4 mm"`, `"4 mm", of: wood`, 1) + "}":     {"part.held.fasteners.of", "steel"},
		"{" + strings.Replace(corners, `diameter: "4 mm", `, "", 1) + "}":         {"part.held.fasteners.diameter", "5 mm"},
	} {
		source := hot(held)
		f := mustRead(t, source)
		_, err := job.Make(t.Context(), f, job.Inputs{Library: library(t)})
		i := new(fault.Input)
		if !errors.As(err, &i) || i.Field != want[0] || !strings.Contains(i.Do, want[1]) {
			t.Errorf("%s: %v", held, err)
		}
		if at := f.Locate(err); len(at) == 0 || at[0].Line < 2 {
			t.Errorf("%s: %+v", held, at)
		}
	}
	_, problems := job.Read([]byte(hot("{flange: glued}")))
	if len(problems) != 1 || problems[0].Path != "part.held.flange" || !strings.Contains(problems[0].What, "bonded") {
		t.Errorf("%+v", problems)
	}
}

// A box of which four walls lean by 30 degrees: its top's edges turn through 60, those
// between the walls through arccos(¼) = 75.5 degrees, and the cure of a wall that sets
// in a room closes them by its shrinkage alone.
func TestSpringIn(t *testing.T) {
	t.Parallel()
	p := mustMake(t, strings.NewReplacer(
		`{plate: {length: "300 mm", width: "200 mm"}}`, `{block: {size: {unit: mm, xyz: [240, 160, 60]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "6 mm", draft: "30 deg"}}`,
		`materials: [plate-glass]`, `flange: "40 mm", fillet: "6 mm", triangle: "6 mm", materials: [pu-board-500]`).Replace(panel))
	s := p.SpringIn
	if s == nil || len(s.Corners) < 3 {
		t.Fatalf("%+v", s)
	}
	outer, hollow := 0.0, 0.0
	for _, c := range s.Corners {
		turn := c.Turn.Degrees()
		if math.Abs(turn-60) > 3 && math.Abs(turn-75.5) > 3 {
			t.Errorf("a corner of %.1f degrees", turn)
		}
		share := (s.Cure.Plane - s.Cure.Through) / (1 + s.Cure.Through)
		if math.Abs(float64(c.Closes/c.Turn)-share) > 0.02*share || !(share > 0) {
			t.Errorf("closes by %.3f degrees of %.1f", c.Closes.Degrees(), turn)
		}
		if back := c.Mould * (1 + c.Closes/c.Turn); math.Abs(float64(back-c.Turn)) > 1e-9 {
			t.Errorf("the mould's %.2f degrees close to %.2f", c.Mould.Degrees(), back.Degrees())
		}
		if c.Hollow {
			hollow += float64(c.Length)
		} else {
			outer += float64(c.Length)
		}
	}
	if hollow < 0.6 || hollow > 0.85 || outer < 0.6 {
		t.Errorf("%.2f m of hollow corners, %.2f m of outer ones", hollow, outer)
	}
	if core := mustMake(t, strings.Replace(panel, `[{fabric: glass-twill-290, angle: "0 deg"}`, `[{core: pvc-foam-80, thickness: "6 mm"}, {fabric: glass-twill-290, angle: "0 deg"}`, 1)); core.SpringIn != nil {
		t.Errorf("%+v", core.SpringIn)
	}
}
