package duty

import (
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"laywright/internal/base/bind"
	"laywright/internal/base/si"
	"laywright/internal/stage/ducting"
)

// rows are the numbers of the table in docs/theory/duty.md whose head begins so.
func rows(t *testing.T, head string) (out [][]float64) {
	t.Helper()
	text, err := os.ReadFile("../../../docs/theory/duty.md")
	if err != nil {
		t.Fatal(err)
	}
	_, after, found := strings.Cut(string(text), "| "+head)
	if !found {
		t.Fatalf("no table %s", head)
	}
	number := regexp.MustCompile(`^-?[0-9.]+`)
	for _, line := range strings.Split(after, "\n")[2:] {
		if !strings.HasPrefix(line, "|") {
			return out
		}
		var row []float64
		for _, cell := range strings.Split(strings.Trim(line, "| "), "|") {
			x, err := strconv.ParseFloat(number.FindString(strings.TrimSpace(cell)), 64)
			if err != nil {
				t.Fatal(err)
			}
			row = append(row, x)
		}
		out = append(out, row)
	}
	return out
}

// told is the result of the job that the tables are worked out from.
func told(t *testing.T, change func(*Heater)) Result {
	t.Helper()
	text, err := os.ReadFile("../../../docs/pictures/heater.job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	root, _ := bind.Parse(text)
	s := dutyOf(t, root)
	change(s.Heater)
	set := library(t)
	fluid, fins := set.Fluids[s.FluidName()], set.Fins[s.FinsName()]
	r, err := Compute(Input{Spec: s, Fluid: &fluid, Fins: &fins})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// as holds a printed number against the one worked out, in the digits it has.
func as(t *testing.T, what string, printed, got float64) {
	t.Helper()
	if math.Abs(printed-got) > 0.006*math.Abs(got) {
		t.Errorf("%s: the page says %g, it comes to %.4g", what, printed, got)
	}
}

// The tables of the theory page say what the program works out.
func TestTheoryTables(t *testing.T) {
	for _, row := range rows(t, "passes | speed") {
		h := told(t, func(h *Heater) { h.Passes = bind.Auto[int]{Given: true, Value: int(row[0])} }).Heater
		first, table := h.Path[0], h.PassTable[int(row[0])-1]
		for i, got := range []float64{float64(first.Velocity), float64(table.Time), float64(first.AirFilm), float64(h.UA), h.AirOut.Celsius(), float64(h.Heat) / 1000, float64(*table.Loss)} {
			as(t, strconv.Itoa(int(row[0]))+" passes", row[i+1], got)
		}
	}
	for _, row := range rows(t, "air flow | speed") {
		h := told(t, func(h *Heater) {
			h.Passes, h.Air.Flow = bind.Auto[int]{Given: true, Value: 1}, si.MassFlow(row[0]/1000)
		}).Heater
		for i, got := range []float64{float64(h.Path[0].Velocity), h.AirOut.Celsius(), float64(h.Heat) / 1000, float64(*h.Useful) / 1000} {
			as(t, "slower air", row[i+1], got)
		}
	}
	for _, row := range rows(t, "pressure | 1 pass") {
		h := told(t, func(h *Heater) {
			h.Air.Flow, h.Air.Available = 0, si.Pressure(row[0])
			h.Ducts = []ducting.Duct{{Hose: 0.076, Length: 3}}
		}).Heater
		for n := 1; n <= 4; n++ {
			as(t, "useful heat", row[n], float64(*h.PassTable[n-1].Useful)/1000)
		}
	}
}
