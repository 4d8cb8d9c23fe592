package draw

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Ticks are worked out by hand.
func TestTicksAreRound(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		n         int
		want      string
	}{
		{0, 100, 5, "[0 20 40 60 80 100]"},
		{0, 1, 5, "[0 0.2 0.4 0.6 0.8 1]"},
		{-3, 7, 5, "[-2 0 2 4 6]"},
		{18.2, 61.4, 4, "[20 40 60]"},
		{0, 7200, 4, "[0 2000 4000 6000]"},
	} {
		got := Ticks(c.low, c.high, c.n)
		for i := range got {
			got[i] = math.Round(got[i]*1e9) / 1e9
		}
		if fmt.Sprint(got) != c.want {
			t.Errorf("%g to %g by %d: %v, want %s", c.low, c.high, c.n, got, c.want)
		}
	}
	if Ticks(1, 1, 5) != nil || Ticks(math.NaN(), 1, 5) != nil || Ticks(0, math.Inf(1), 5) != nil {
		t.Error("an axis without a length has ticks")
	}
}

func TestNumbersInWords(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Number(-3.14159, 2), "−3.14"},
		{Number(-0.001, 1), "0.0"},
		{Short(1234.6), "1235"},
		{Short(0.012345), "0.0123"},
		{Short(-30.5), "−30.5"},
		{Short(45), "45"},
		{Short(0), "0"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// A straight line from corner to corner of the data is drawn from corner to
// corner of the frame.
func TestChartPutsPointsTrue(t *testing.T) {
	c := Chart{X: Axis{Low: 0, High: 10}, Y: Axis{Low: 100, High: 200}, Series: []Series{{X: []float64{0, 5, 10}, Y: []float64{100, 150, 200}, Pen: Pen{Width: 0.123, Colour: Ink}}}}
	var line, frame Path
	for _, it := range c.Draw(r2.NewBox(0, 0, 120, 80)) {
		if p, ok := it.(Path); ok && p.Pen.Width == 0.123 {
			line = p
		} else if ok && p.Closed && p.Pen.Colour == Soft {
			frame = p
		}
	}
	b := frame.Bounds()
	if len(line.Points) != 3 {
		t.Fatalf("line has %d points", len(line.Points))
	}
	for i, want := range []r2.Vec{b.Min, b.Center(), b.Max} {
		near(t, "x", line.Points[i].X, want.X, 1e-9)
		near(t, "y", line.Points[i].Y, want.Y, 1e-9)
	}
}

// Words and lines of a full chart stay in its box, whatever the data.
func TestChartStaysInItsBox(t *testing.T) {
	box := r2.NewBox(10, 20, 110, 90)
	nan := math.NaN()
	for _, ys := range [][]float64{{1, 2, 3}, {-5e6, 0, 5e6}, {7, 7, 7}, {nan, nan, nan}, {1e-7, 3e-7, nan}} {
		c := Chart{Title: "Cure", X: Axis{Label: "time", Unit: "min"}, Y: Axis{Label: "temperature", Unit: "°C"}, Right: &Axis{Label: "degree of cure"},
			Series: []Series{{Label: "one", X: []float64{0, 1, 2}, Y: ys}, {Label: "two", X: []float64{0, 1, 2}, Y: ys, OnRight: true}},
			Limits: []Limit{{At: 2, Label: "limit"}, {At: 1, Label: "gel", Vertical: true}},
			Bands:  []Band{{From: 0.5, To: 9, Label: "hold"}}}
		for _, it := range c.Draw(box) {
			b := it.Bounds()
			if !(b.Min.X >= box.Min.X-1 && b.Max.X <= box.Max.X+1 && b.Min.Y >= box.Min.Y-1 && b.Max.Y <= box.Max.Y+1) {
				t.Errorf("data %v: %+v reaches outside", ys, it)
			}
		}
	}
}
