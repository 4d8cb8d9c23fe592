package nest

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

func lay(t *testing.T, r Roll) Laid {
	t.Helper()
	out, err := Lay(context.Background(), Input{Rolls: []Roll{r}})
	if err != nil {
		t.Fatal(err)
	}
	return out.Rolls[0]
}

func square(name string, side float64, count int) Piece {
	return Piece{Name: name, Count: count, Outline: geom.Rect(0, 0, side, side)}
}

// Closed forms: squares that fill the width leave nothing; a gap adds itself
// between neighbours and nowhere else; an edge margin takes its width twice.
func TestLaySquares(t *testing.T) {
	l := lay(t, Roll{Width: 1, Pieces: []Piece{square("a", 0.25, 12)}, Search: 0.1})
	near(t, "length", float64(l.Length), 0.75, 1e-8)
	near(t, "use", l.Use, 1, 1e-8)
	l = lay(t, Roll{Width: 0.803, Gap: 0.003, Pieces: []Piece{square("a", 0.4, 4)}, Search: 0.1})
	near(t, "length with a gap", float64(l.Length), 0.803, 2e-5)
	l = lay(t, Roll{Width: 1, Edge: 0.15, Pieces: []Piece{square("a", 0.35, 4)}, Search: 0.1})
	near(t, "length between margins", float64(l.Length), 0.7, 1e-8)
	for _, p := range l.Placements {
		if p.Y < 0.15-1e-9 || p.Y > 0.5+1e-9 {
			t.Errorf("placed at y = %g", float64(p.Y))
		}
	}
}

// Two right triangles as wide as the roll make a rectangle where one may be
// turned by half a turn, and lie one behind the other where not.
func TestTurnsAreHonoured(t *testing.T) {
	p := Piece{Name: "a", Count: 2, Outline: geom.Polygon{{}, {X: 0.3}, {Y: 0.5}}}
	near(t, "as drawn only", float64(lay(t, Roll{Width: 0.5, Pieces: []Piece{p}, Search: 0.05}).Length), 0.6, 1e-7)
	p.Turns = halfTurns
	near(t, "with half turns", float64(lay(t, Roll{Width: 0.5, Pieces: []Piece{p}, Search: 0.05}).Length), 0.3, 1e-7)
	strip := Piece{Name: "s", Count: 1, Outline: geom.Rect(0, 0, 0.2, 0.9), Turns: []si.Angle{si.Degrees(90)}}
	near(t, "a quarter turn", float64(lay(t, Roll{Width: 0.3, Pieces: []Piece{strip}}).Length), 0.9, 1e-9)
}

// jigsaw cuts a rectangle into convex pieces by straight lines, so that its
// length is the best that any layout can reach.
func jigsaw(seed uint64, length, width float64, cuts int) []Piece {
	rng := rand.New(rand.NewPCG(seed, 0))
	parts := []geom.Polygon{geom.Rect(0, 0, length, width)}
	for range cuts {
		big := 0
		for i, p := range parts {
			if p.Area() > parts[big].Area() {
				big = i
			}
		}
		a, b := halve(parts[big], rng)
		parts[big] = a
		parts = append(parts, b)
	}
	var out []Piece
	for i, p := range parts {
		out = append(out, Piece{Name: string(rune('a' + i)), Count: 1, Outline: p})
	}
	return out
}

// halve cuts a convex ring near the middle of its longest side and of another.
func halve(p geom.Polygon, rng *rand.Rand) (a, b geom.Polygon) {
	long := 0
	side := func(i int) r2.Vec { return r2.Sub(p[(i+1)%len(p)], p[i]) }
	for i := range p {
		if r2.Norm(side(i)) > r2.Norm(side(long)) {
			long = i
		}
	}
	other := (long + len(p)/2) % len(p)
	if other < long {
		long, other = other, long
	}
	u := r2.Add(p[long], r2.Scale(0.35+0.3*rng.Float64(), side(long)))
	v := r2.Add(p[other], r2.Scale(0.35+0.3*rng.Float64(), side(other)))
	a = append(a, u)
	a = append(a, p[long+1:other+1]...)
	a = append(a, v)
	b = append(b, v)
	b = append(b, p[other+1:]...)
	b = append(b, p[:long+1]...)
	b = append(b, u)
	return a, b
}

// Rectangles cut into 8 pieces are put together again to within 1 % of their
// length; the search is ended there.
func TestLayJigsaw(t *testing.T) {
	const share = 0.99
	for _, seed := range []uint64{0, 2, 3} {
		r := Roll{Width: 1, Pieces: jigsaw(seed, 0.8, 1, 7), Search: 10, Seed: 5}
		out, err := Lay(context.Background(), Input{Rolls: []Roll{r}, Watch: func(p Progress) bool { return p.Use < share }})
		if err != nil {
			t.Fatal(err)
		}
		if l := out.Rolls[0].Length; l > 0.8/share || l < 0.8-1e-8 {
			t.Errorf("seed %d: a rectangle 0.8 m long was laid on %.4f m", seed, float64(l))
		}
	}
}

// BenchmarkJigsaw cuts rectangles into more pieces and tells how well they are put
// together in a minute's search.
func BenchmarkJigsaw(b *testing.B) {
	for _, n := range []int{12, 16} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			r := Roll{Width: 1, Pieces: jigsaw(1, 0.8, 1, n-1), Search: 60, Seed: 5}
			for b.Loop() {
				out, err := Lay(context.Background(), Input{Rolls: []Roll{r}})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(100*out.Rolls[0].Use, "%use")
			}
		})
	}
}

// The placements by their definition, sampled: flip, turn, shift; no sample of
// one piece lies deep in another and the gap is kept.
func TestPlacementsMeanWhatTheySay(t *testing.T) {
	pieces := stars(31, 5, 3)
	for i := range pieces {
		pieces[i].Flip = true
		pieces[i].Turns = []si.Angle{si.Degrees(45), si.Degrees(135), si.Degrees(225), si.Degrees(315)}
	}
	r := Roll{Width: 0.8, Gap: 0.004, Edge: 0.01, Pieces: pieces, Search: 0.2, Seed: 2}
	l := lay(t, r)
	var rings []geom.Polygon
	flips := 0
	for _, at := range l.Placements {
		p := pieces[at.Piece[0]-'a'].Outline
		ring := make(geom.Polygon, len(p))
		s, c := math.Sincos(float64(at.Turn))
		for i, v := range p {
			if at.Flipped {
				v.Y = -v.Y
			}
			ring[i] = r2.Vec{X: float64(at.X) + c*v.X - s*v.Y, Y: float64(at.Y) + s*v.X + c*v.Y}
			if ring[i].X < -1e-9 || ring[i].X > float64(l.Length)+1e-9 || ring[i].Y < 0.01-2*slip || ring[i].Y > 0.79+2*slip {
				t.Fatalf("%s leaves the roll at %v", at.Piece, ring[i])
			}
		}
		if at.Flipped {
			flips++
		}
		rings = append(rings, ring)
	}
	for i, p := range rings {
		for k, q := range rings {
			for j, v := range p {
				w := p[(j+1)%len(p)]
				for f := 0.0; f < 1 && k != i; f += 0.1 {
					x := r2.Add(v, r2.Scale(f, r2.Sub(w, v)))
					if q.Contains(x) || q.Distance(x) < 0.004-1e-9 {
						t.Fatalf("placements %d and %d are nearer than the gap", i, k)
					}
				}
			}
		}
	}
	if flips == 0 || flips == len(rings) {
		t.Errorf("%d of %d lie face down; both ways were allowed", flips, len(rings))
	}
}

// Same input, same layout, whatever the two workers' timing; another seed
// gives another layout; more search does no harm.
func TestLayIsReproducible(t *testing.T) {
	r := Roll{Width: 1, Pieces: stars(41, 6, 3), Search: 0.15, Seed: 9}
	a, b := lay(t, r), lay(t, r)
	if !reflect.DeepEqual(a, b) {
		t.Error("the same job gave two layouts")
	}
	r.Seed = 10
	if c := lay(t, r); reflect.DeepEqual(a, c) {
		t.Error("another seed gave the same layout")
	}
	r.Search = 0
	if d := lay(t, r); d.Length < a.Length {
		t.Errorf("searching made the layout longer: %g, without %g", float64(a.Length), float64(d.Length))
	}
}

// A layout does not depend on where a piece's origin is, nor, but for the
// chance in the search, on the size of everything.
func TestLayScales(t *testing.T) {
	r := Roll{Width: 1, Pieces: stars(43, 6, 3), Search: 0.2, Seed: 1}
	a := lay(t, r)
	big := r
	big.Width, big.Pieces = 4, nil
	for _, p := range r.Pieces {
		p.Outline = p.Outline.Scale(4).Shift(r2.Vec{X: 7, Y: -3})
		big.Pieces = append(big.Pieces, p)
	}
	near(t, "use at four times the size", lay(t, big).Use, a.Use, 0.03)
}

func TestLayStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := Lay(ctx, Input{Rolls: []Roll{{Width: 1, Pieces: stars(1, 3, 3), Search: 60}}})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled search returned %v", err)
	}
}

// Many copies are laid and not improved, and the finding says so.
func TestLayMany(t *testing.T) {
	if testing.Short() {
		t.Skip("1600 copies take a second")
	}
	p := Piece{Name: "a", Count: maxImproved + 100, Outline: geom.Polygon{{}, {X: 0.02}, {Y: 0.03}}, Turns: halfTurns}
	out, err := Lay(context.Background(), Input{Rolls: []Roll{{Width: 1, Pieces: []Piece{p}, Search: 1}}})
	if err != nil {
		t.Fatal(err)
	}
	if len(out.Findings) != 1 || out.Findings[0].Code != "layout-not-improved" {
		t.Errorf("findings %v", out.Findings)
	}
	if u := out.Rolls[0].Use; u < 0.7 {
		t.Errorf("use %.2f", u)
	}
}

// Unlike pieces beyond what is improved: the first layout looks back a few lengths only,
// and still nothing overlaps.
func TestLayManyUnlike(t *testing.T) {
	if testing.Short() {
		t.Skip("1600 copies take seconds")
	}
	pieces := stars(77, 8, 220)
	for i := range pieces {
		pieces[i].Outline = pieces[i].Outline.Scale(0.1 + 0.05*float64(i))
	}
	lay(t, Roll{Width: 0.25, Pieces: pieces})
}

func TestLongestPieceIsNamed(t *testing.T) {
	out, err := Lay(context.Background(), Input{Rolls: []Roll{{Width: 1, Pieces: []Piece{{Name: "a", Count: 1, Outline: geom.Rect(0, 0, 2, 0.1)}}, Search: 5}}})
	if err != nil || len(out.Findings) != 1 || out.Findings[0].Code != "longest-piece-sets-length" {
		t.Errorf("%v, %v", out.Findings, err)
	}
}

func TestLayRefuses(t *testing.T) {
	ok := square("a", 0.2, 1)
	with := func(f func(*Piece)) []Piece { p := ok; f(&p); return []Piece{p} }
	for name, c := range map[string]struct {
		roll  Roll
		words []string
	}{
		"no pieces": {Roll{Width: 1}, []string{"roll.pieces", "nothing to lay"}},
		"too wide":  {Roll{Width: 0.25, Edge: 0.05, Pieces: []Piece{ok}}, []string{"roll.pieces[0]", `"a"`, "200.0 mm", "150.0 mm", "wider roll"}},
		"width":     {Roll{Width: si.Length(math.NaN()), Pieces: []Piece{ok}}, []string{"roll.width"}},
		"gap":       {Roll{Width: 1, Gap: -1, Pieces: []Piece{ok}}, []string{"roll.gap"}},
		"edge":      {Roll{Width: 1, Edge: 0.6, Pieces: []Piece{ok}}, []string{"roll.edge"}},
		"search":    {Roll{Width: 1, Search: -1, Pieces: []Piece{ok}}, []string{"roll.search"}},
		"count 0":   {Roll{Width: 1, Pieces: with(func(p *Piece) { p.Count = 0 })}, []string{"roll.pieces[0].count"}},
		"count":     {Roll{Width: 1, Pieces: with(func(p *Piece) { p.Count = 10001 })}, []string{"roll.pieces[0].count"}},
		"copies":    {Roll{Width: 1, Pieces: []Piece{square("a", 0.1, 9000), square("b", 0.1, 9000)}}, []string{"roll.pieces", "split the roll"}},
		"same name": {Roll{Width: 1, Pieces: []Piece{ok, ok}}, []string{"roll.pieces[1].name", "own name"}},
		"crossing":  {Roll{Width: 1, Pieces: with(func(p *Piece) { p.Outline = geom.Polygon{{}, {X: 0.1, Y: 0.1}, {X: 0.1}, {Y: 0.1}} })}, []string{"roll.pieces[0].outline", "crosses"}},
		"NaN":       {Roll{Width: 1, Pieces: with(func(p *Piece) { p.Outline = geom.Polygon{{}, {X: math.NaN()}, {Y: 1}} })}, []string{"outline"}},
		"no corner": {Roll{Width: 1, Pieces: with(func(p *Piece) { p.Outline = nil })}, []string{"outline"}},
		"turn":      {Roll{Width: 1, Pieces: with(func(p *Piece) { p.Turns = []si.Angle{si.Angle(math.Inf(1))} })}, []string{"turn[0]"}},
	} {
		_, err := Lay(context.Background(), Input{Rolls: []Roll{c.roll}})
		if err == nil {
			t.Errorf("%s: no error", name)
			continue
		}
		var input *fault.Input
		var rng *fault.Range
		if !errors.As(err, &input) && !errors.As(err, &rng) {
			t.Errorf("%s: %v is neither a range nor an input error", name, err)
		}
		for _, w := range c.words {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %q does not say %q", name, err, w)
			}
		}
	}
	if _, err := Lay(context.Background(), Input{}); err == nil {
		t.Error("no rolls gave no error")
	}
}

func TestSpecBecomesInput(t *testing.T) {
	s := Spec{Search: 3, Gap: 0.003, Width: 1, Edge: 0.01, Pieces: []PieceSpec{{Name: "a", Count: 2, Turn: []float64{0, 180}, Flip: true,
		Outline: bind.Points2{P: geom.Rect(0, 0, 0.1, 0.2)}}}}
	r := s.Input(7).Rolls[0]
	p := r.Pieces[0]
	if r.Search != 3 || r.Gap != 0.003 || r.Width != 1 || r.Edge != 0.01 || r.Seed != 7 || p.Name != "a" || p.Count != 2 || !p.Flip || len(p.Outline) != 4 {
		t.Errorf("became %+v", r)
	}
	near(t, "turn", float64(p.Turns[1]), math.Pi, 1e-15)
}

// The keys of plan.json that checks read.
func TestResultKeys(t *testing.T) {
	b, err := json.Marshal(Result{Rolls: []Laid{{Width: 1, Length: 2, Use: 0.5, Placements: []Placement{{Piece: "a", Turn: si.Degrees(180)}}}}})
	want := `{"rolls":[{"material":"","width_m":1,"length_m":2,"use":0.5,"placements":[{"piece":"a","x_m":0,"y_m":0,"turn_deg":180,"flipped":false}],"waste_m2":0}]}`
	if err != nil || string(b) != want {
		t.Errorf("%s, %v", b, err)
	}
}
