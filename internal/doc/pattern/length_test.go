package pattern

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
)

// plate is a piece with straight sides, none along an axis, of about the size asked
// for, in metres.
func plate(w, h float64) Piece {
	return Piece{Part: "p", Name: "x", Warp: r2.Vec{X: 1}, Outline: geom.Polygon{{X: 0.01}, {X: w, Y: 0.02}, {X: 0.97 * w, Y: h}, {X: 0.4 * w, Y: 0.8 * h}, {X: 0, Y: 0.96 * h}}}
}

// sheetsJoined is pages printed and laid together by their joints: how dark a place
// is, in mm from the first page's upper left corner, y down.
type sheetsJoined struct {
	pages []raster
	at    []r2.Vec
	dot   float64 // mm
}

func (s sheetsJoined) dark(p r2.Vec) (most float64) {
	for i, r := range s.pages {
		q := r2.Sub(p, s.at[i])
		most = max(most, r.dark(int(math.Floor(q.X/s.dot)), int(math.Floor(q.Y/s.dot))))
	}
	return most
}

// lineAt is where the printed line crosses a short way through a place on its nominal
// course, square to it.
func (s sheetsJoined) lineAt(at, across r2.Vec) (r2.Vec, bool) {
	const reach = 2.5 // mm to either side
	sum, moment := 0.0, 0.0
	for u := -reach; u <= reach; u += s.dot / 8 {
		v := s.dark(r2.Add(at, r2.Scale(u, across)))
		sum, moment = sum+v, moment+v*u
	}
	if sum == 0 {
		return at, false
	}
	return r2.Add(at, r2.Scale(moment/sum, across)), true
}

// side fits a line to a printed side: a point on it and its direction.
func (s sheetsJoined) side(t *testing.T, a, b r2.Vec) (at, dir r2.Vec) {
	t.Helper()
	along := r2.Unit(r2.Sub(b, a))
	across := r2.Vec{X: -along.Y, Y: along.X}
	var pts []r2.Vec
	for i := range 81 {
		p, ok := s.lineAt(r2.Add(a, r2.Scale(0.1+0.8*float64(i)/80, r2.Sub(b, a))), across)
		if !ok {
			t.Fatalf("the line from %v to %v is broken", a, b)
		}
		pts = append(pts, p)
	}
	var mid r2.Vec
	for _, p := range pts {
		mid = r2.Add(mid, r2.Scale(1/float64(len(pts)), p))
	}
	uu, uv := 0.0, 0.0
	for _, p := range pts {
		d := r2.Sub(p, mid)
		u, v := r2.Dot(d, along), r2.Dot(d, across)
		uu, uv = uu+u*u, uv+u*v
	}
	return mid, r2.Add(along, r2.Scale(uv/uu, across))
}

// sides are the lengths of the printed outline between the corners where its fitted
// sides meet; first carries the art to the first page, y down.
func (s sheetsJoined) sides(t *testing.T, outline geom.Polygon, first func(r2.Vec) r2.Vec) (out []float64) {
	t.Helper()
	n := len(outline)
	at, dir := make([]r2.Vec, n), make([]r2.Vec, n)
	for i, a := range outline {
		at[i], dir[i] = s.side(t, first(a), first(outline[(i+1)%n]))
	}
	corner := func(i int) r2.Vec {
		j := (i + n - 1) % n
		k := r2.Cross(r2.Sub(at[i], at[j]), dir[i]) / r2.Cross(dir[j], dir[i])
		return r2.Add(at[j], r2.Scale(k, dir[j]))
	}
	for i := range n {
		out = append(out, r2.Norm(r2.Sub(corner((i+1)%n), corner(i))))
	}
	return out
}

// keepsLengths prints a tiling, joins it by its marks and measures the sides of one
// of its outlines.
func keepsLengths(t *testing.T, tl *tiling, outline geom.Polygon, res int) {
	t.Helper()
	pages := tl.pages()
	if len(pages) < 2 {
		t.Fatal("one page has no joints")
	}
	var bare []draw.Page
	for _, pg := range pages {
		b := draw.NewPage(pg.Name, pg.W, pg.H)
		b.Add(draw.Cut, pg.Layer(draw.Cut)...)
		bare = append(bare, *b)
	}
	s := sheetsJoined{rasters(t, bare, res), joined(t, joints(t, pages)), 25.4 / float64(res)}
	var r, c int
	if _, err := fmt.Sscanf(pages[0].Name, "row %d, column %d", &r, &c); err != nil {
		t.Fatal(err)
	}
	w := tl.window(r-1, c-1)
	first := func(p r2.Vec) r2.Vec {
		q := r2.Sub(p, w.Min)
		return r2.Vec{X: tileMargin + q.X, Y: pages[0].H - tileMargin - q.Y}
	}
	worst := 0.0
	for i, got := range s.sides(t, outline, first) {
		want := r2.Norm(r2.Sub(outline[(i+1)%len(outline)], outline[i]))
		worst = max(worst, math.Abs(got-want))
		if math.Abs(got-want) > 0.3 {
			t.Errorf("%s: side %d is %.2f mm long, want %.2f", tl.paper.Name, i+1, got, want)
		}
	}
	t.Logf("%s, %d pages: sides true to %.3f mm", tl.paper.Name, len(pages), worst)
}

// Printed, and laid together by the join marks alone, the pages show the outline's
// sides with their lengths within 0.3 mm, on every paper.
func TestJoinedPagesKeepLengths(t *testing.T) {
	need(t, "pdftoppm", "pdftotext")
	p := plate(0.6, 0.5)
	outline := geom.Polygon(draw.FromMetres().All(p.Outline))
	for _, sheet := range []draw.Sheet{draw.A4(), draw.A3(), draw.Letter(), draw.Tabloid()} {
		tl := bestTiling(p.plot(), sheet)
		tl.findUsed()
		keepsLengths(t, tl, outline, 100)
	}
}

// So do the pages of a roll on plotter paper, split in lanes or along their length.
func TestPlottedRollKeepsLengths(t *testing.T) {
	need(t, "pdftoppm", "pdftotext")
	for _, c := range []struct{ long, wide float64 }{{1.3, 1.27}, {5.6, 0.5}} {
		r := Roll{Material: "cloth", Width: si.Length(c.wide), Length: si.Length(c.long), Pieces: []Placed{{Piece: plate(c.long-0.05, c.wide-0.05), At: r2.Vec{X: 0.02, Y: 0.02}}}}
		outline := geom.Polygon(draw.FromMetres().All(r.Pieces[0].Outline()))
		keepsLengths(t, r.plot().plotted(), outline, 80)
	}
}
