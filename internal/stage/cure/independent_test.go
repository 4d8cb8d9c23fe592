package cure

import (
	"bytes"
	"encoding/json"
	"math"
	"os/exec"
	"testing"
	"time"

	"laywright/internal/base/num"
	"laywright/internal/base/resin"
	"laywright/internal/base/si"
)

// agreement is how near two solvers of one problem must come: in the degree of
// cure, in temperature as a share of 300 K, in the time of a mark as a share of it.
const agreement = 1e-5

// scipy solves a problem by testdata/stiff.py, with the first Python that has scipy.
func scipy(t *testing.T, job map[string]any, out any) {
	t.Helper()
	text, err := json.Marshal(job)
	if err != nil {
		t.Fatal(err)
	}
	for _, python := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(python, "-c", "import scipy.integrate").Run() != nil {
			continue
		}
		run := exec.Command(python, "testdata/stiff.py")
		var complaint bytes.Buffer
		run.Stdin, run.Stderr = bytes.NewReader(text), &complaint
		text, err := run.Output()
		if err != nil {
			t.Fatal(err, complaint.String())
		}
		if err := json.Unmarshal(text, out); err != nil {
			t.Fatal(err)
		}
		return
	}
	t.Skip("needs scipy from the Debian package python3-scipy")
}

// slows is a resin that gels as a film in the hours given at 25 degC and turns to
// glass in a cool room.
func slows(hours float64) resin.Law {
	const gel, e = 3.31798, 55e3 // K₂·t at α = 0.55 and r₀ = 0.1
	a := si.Rate(gel / (hours * 3600) * math.Exp(e/(8.314462618*298.15)))
	return resin.Law{Kinetics: resin.Kinetics{A1: 0.1 * a, A2: a, E1: e, E2: e, M: 1, N: 2}, Heat: 430e3, Gel: 0.55, Density: 1150, Cp: 1900, K: 0.2,
		Glass:     resin.Glass{Start: si.Celsius(-45), Full: si.Celsius(98), Lambda: 0.4},
		Diffusion: &resin.Diffusion{Shift: 4.7, Width: 5}}
}

// told is the law as the script knows it.
func told(l resin.Law) map[string]any {
	e := float64(l.Kinetics.E2)
	out := map[string]any{"K2": float64(l.Kinetics.A2) * math.Exp(-e/(8.314462618*298.15)), "at": 298.15, "E": e,
		"r0": float64(l.Kinetics.A1 / l.Kinetics.A2), "gel": l.Gel, "tg0": float64(l.Glass.Start), "tg1": float64(l.Glass.Full), "lam": l.Glass.Lambda, "width": 0}
	if d := l.Diffusion; d != nil {
		out["shift"], out["width"] = d.Shift, d.Width
	}
	return out
}

// mean returns how long work takes, s.
func mean(work func()) float64 {
	const times = 20
	begun := time.Now()
	for range times {
		work()
	}
	return time.Since(begun).Seconds() / times
}

// A cup that runs off, with its marks, by Radau's method at a tolerance of 1e-9.
func TestCupAgainstRadau(t *testing.T) {
	if testing.Short() {
		t.Skip("scipy takes some seconds")
	}
	l := slows(1)
	cup := resin.Cup{Mass: 0.1, Air: si.Celsius(25), Loss: 0.11}
	job := map[string]any{"problem": "cup", "method": "Radau", "tolerance": 1e-9, "law": told(l), "mass": 0.1, "c": 1900, "heat": 430e3,
		"loss": 0.11, "air": 298.15, "end": 3600}
	var want struct{ Gel, To40, To50, Peak, Seconds float64 }
	scipy(t, job, &want)
	var p resin.Pot
	took := mean(func() {
		var err error
		if p, err = l.Watch(cup); err != nil {
			t.Fatal(err)
		}
	})
	near(t, "gel", float64(*p.Gel), want.Gel, agreement*want.Gel)
	near(t, "40 degC", float64(*p.To40), want.To40, agreement*want.To40)
	near(t, "50 degC", float64(*p.To50), want.To50, agreement*want.To50)
	near(t, "peak", float64(p.Peak), want.Peak, agreement*300)
	t.Logf("ours %.3g ms, scipy's Radau %.3g ms: 1/%.0f", 1e3*took, 1e3*want.Seconds, want.Seconds/took)
}

// A wet laminate on a board in an oven that warms and cools, its resin held up by
// its own glass: all temperatures and degrees of cure at five times, by Radau's
// method and backward differences at a tolerance of 1e-9. At 1e-6, which is ours,
// backward differences show how long scipy takes for no more.
func TestStackAgainstRadauAndBDF(t *testing.T) {
	if testing.Short() {
		t.Skip("scipy takes some seconds")
	}
	in := onBoard(load(t, "heat_wet_laminate_on_mdf_6mm"))
	in.Law = slows(3)
	in.Spec.Schedule = given(0, 20, 40, 60, 180, 60, 240, 25, 2880, 25)
	const uBack, uFront = 12, 1 / (1.0/12 + 0.02)
	s := newSlab(&in.Law, in.Mould, in.Layers, uBack, uFront)
	times := []float64{1500, 3000, 4500, 10800, 100000}
	job := map[string]any{"problem": "stack", "law": told(in.Law), "u_back": uBack, "u_front": uFront,
		"start": float64(in.Shop), "times": times, "layers": toldLayers(s), "curve": toldCurve(in.Spec.Schedule.Value)}
	var got [][]float64
	took := mean(func() { got = stateAt(t, s, in, times) })
	for _, by := range []struct {
		method    string
		tolerance float64
	}{{"Radau", 1e-9}, {"BDF", 1e-9}, {"BDF", 1e-6}} {
		job["method"], job["tolerance"] = by.method, by.tolerance
		var want struct {
			States  [][]float64
			Seconds float64
		}
		scipy(t, job, &want)
		n, cold, raw := len(s.cells), 0.0, 0.0
		for k := range times {
			for i := range n {
				cold = math.Max(cold, math.Abs(got[k][2*i]-want.States[k][i]))
				raw = math.Max(raw, math.Abs(got[k][2*i+1]-want.States[k][n+i]))
			}
		}
		if by.tolerance == 1e-9 && (cold > agreement*300 || raw > agreement) {
			t.Errorf("%s: off by %.2g K and %.2g of cure", by.method, cold, raw)
		}
		t.Logf("apart by %.2g K and %.2g of cure; ours %.3g ms, scipy's %s at %g %.3g ms: 1/%.0f",
			cold, raw, 1e3*took, by.method, by.tolerance, 1e3*want.Seconds, want.Seconds/took)
	}
}

func toldLayers(s *slab) (out []map[string]any) {
	for i, c := range s.cells {
		if i > 0 && s.cells[i-1].layer == c.layer {
			last := out[len(out)-1]
			last["cells"], last["thickness"] = last["cells"].(int)+1, last["thickness"].(float64)+c.size
			continue
		}
		out = append(out, map[string]any{"cells": 1, "thickness": c.size, "k": c.k, "stored": c.heat, "burns": c.burn})
	}
	return out
}

func toldCurve(c Curve) (out [][2]float64) {
	for i := range c.X {
		out = append(out, [2]float64{float64(c.X[i]), float64(c.Y[i])})
	}
	return out
}

// stateAt runs the slab as [run] does and reads it at times inside its steps.
func stateAt(t *testing.T, s *slab, in Input, times []float64) (out [][]float64) {
	t.Helper()
	y := make([]float64, 2*len(s.cells))
	for i := range s.cells {
		y[2*i] = float64(in.Shop)
	}
	var now piece
	s.back = func(t float64) float64 { return now.at(t) }
	s.front = s.back
	solver := num.NewSolver(s.problem(), slabTolerance)
	for _, now = range pieces(in.Spec.Schedule.Value, 0, in.Shop) {
		if err := solver.Run(now.t0, now.t1, y, func(st *num.Step) bool {
			for len(times) > 0 && times[0] <= st.T1() {
				state := make([]float64, len(y))
				st.At(times[0], state)
				out, times = append(out, state), times[1:]
			}
			return true
		}); err != nil {
			t.Fatal(err)
		}
	}
	return out
}
