package pattern

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
)

// A placement keeps the area; a flip turns the hand over. A corner worked out
// by hand: (2, 1) flipped is (2, −1), turned by 90° is (1, 2), shifted by
// (10, 20) is (11, 22).
func TestPlace(t *testing.T) {
	p := geom.Polygon{{}, {X: 2}, {X: 2, Y: 1}}
	got := Place(p, r2.Vec{X: 10, Y: 20}, si.Degrees(90), true)
	if d := r2.Norm(r2.Sub(got[2], r2.Vec{X: 11, Y: 22})); d > 1e-12 {
		t.Errorf("the corner lies at %v", got[2])
	}
	if math.Abs(math.Abs(got.Area())-1) > 1e-12 {
		t.Errorf("area %g", got.Area())
	}
}

func layout() Roll {
	p := flower(1)
	r := Roll{Part: p.Part, Material: "carbon plain, 193 g/m²", Width: 1.27, Length: 4.2, Use: 0.31}
	for i := range 7 {
		p.Name = "3" + string(rune('A'+i))
		r.Pieces = append(r.Pieces, Placed{Piece: p, At: r2.Vec{X: 0.35 + 0.56*float64(i), Y: 0.35 + 0.55*float64(i%2)}, Turn: si.Degrees(float64(i%2) * 180)})
	}
	return r
}

// The knife lines of the whole roll, read back, have the pieces' areas.
func TestRollSheetReadsBack(t *testing.T) {
	sh, err := RollSheet(layout())
	if err != nil {
		t.Fatal(err)
	}
	cut := readBack(t, sh).On("cut")
	if len(cut) != 7 {
		t.Fatalf("%d knife lines", len(cut))
	}
	for _, e := range cut {
		if got := e.Area() * 1e-6; math.Abs(got/flowerArea(1)-1) > 1e-4 {
			t.Errorf("area %.6f m², want %.6f", got, flowerArea(1))
		}
	}
}

// The picture of a layout, long or short, stays in its box and shows all of
// every piece: the washed areas add up to the pieces' at its scale. A roll that
// is wider than what is used of it stands upright.
func TestRollPictureShowsEveryPiece(t *testing.T) {
	short := layout()
	short.Length, short.Pieces = 0.7, short.Pieces[:1]
	for _, room := range []r2.Box{r2.NewBox(10, 10, 190, 150), r2.NewBox(0, 0, 80, 200), r2.NewBox(0, 0, 180, 60)} {
		showsEveryPiece(t, layout(), room)
		showsEveryPiece(t, short, room)
	}
}

func showsEveryPiece(t *testing.T, r Roll, room r2.Box) {
	t.Helper()
	sum := 0.0
	for _, it := range RollPicture(r, room) {
		b := it.Bounds()
		if b.Min.X < room.Min.X-0.5 || b.Max.X > room.Max.X+0.5 || b.Min.Y < room.Min.Y-0.5 || b.Max.Y > room.Max.Y+0.5 {
			t.Errorf("%+v leaves its box", b)
		}
		if p, ok := it.(draw.Path); ok && p.Fill == draw.Wash {
			sum += math.Abs(geom.Polygon(p.Points).Area())
		}
	}
	_, k := bestStrips(r.strip().Size(), room.Size())
	k = max(k, uprightScale(r.strip().Size(), room.Size()))
	if want := float64(len(r.Pieces)) * flowerArea(1) * 1e6 * k * k; math.Abs(sum/want-1) > 1e-4 {
		t.Errorf("box %v: %.1f mm² shown, want %.1f", room, sum, want)
	}
}

// A roll goes on the narrowest paper that takes it on one page, along or across; a
// wider one in lanes, a longer one in lengths; no page is longer than readers open.
func TestRollPlotPaper(t *testing.T) {
	for _, c := range []struct {
		long, wide float64
		side       float64 // of the paper, mm
		pages      int     // a map with several
	}{
		{4, 0.5, 609.6, 1},
		{4, 0.8, 914.4, 1},
		{4, 1.0, 1066.8, 1},
		{0.4, 1.27, 609.6, 1}, // across the paper
		{4.2, 1.27, 914.4, 3}, // two lanes: a lane of 24 in does not hold half the roll
		{12, 0.5, 609.6, 4},   // three lengths
		{10.2, 0.5, 609.6, 4}, // two would be longer than a page may be
		{12, 1.524, 914.4, 7}, // both
	} {
		pages, err := RollPlot(Roll{Material: "cloth", Width: si.Length(c.wide), Length: si.Length(c.long), Pieces: []Placed{{Piece: plate(c.long-0.01, c.wide-0.01)}}}, draw.A4())
		if err != nil {
			t.Fatal(err)
		}
		last := pages[len(pages)-1]
		if len(pages) != c.pages || last.W != c.side && last.H != c.side {
			t.Errorf("%g x %g m: %d pages of %.1f x %.1f mm, want %d on %.1f", c.long, c.wide, len(pages), last.W, last.H, c.pages, c.side)
		}
		for _, pg := range pages {
			if max(pg.W, pg.H)/draw.Point > 14400 {
				t.Errorf("a page of %.0f mm", max(pg.W, pg.H))
			}
			if _, _, ok := squareOn(pg); !ok {
				t.Errorf("%s carries no check square", pg.Name)
			}
		}
	}
}

// The roll shows where no piece may lie: the hatching stays in its defect, with the
// defect's area between its lines, and the ends of the table cross the roll.
func TestRollShowsDefectsAndSections(t *testing.T) {
	r := layout()
	r.Edge, r.Sections = 0.02, []si.Length{2, 9}
	r.Defects = []geom.Polygon{{{X: 3.6, Y: 1}, {X: 3.9, Y: 1}, {X: 3.9, Y: 1.2}, {X: 3.75, Y: 1.05}, {X: 3.6, Y: 1.2}}}
	inside := geom.Polygon(draw.FromMetres().All(r.Defects[0]))
	hatch, across, edges := 0.0, 0, 0
	for _, it := range r.cloth(draw.FromMetres()) {
		p := it.(draw.Path)
		if p.Closed || len(p.Points) != 2 {
			continue
		}
		a, b := p.Points[0], p.Points[1]
		switch {
		case a.X == b.X:
			across++
			if a.X != 2000 || math.Abs(b.Y-a.Y) != 1270 {
				t.Errorf("an end of the table from %v to %v", a, b)
			}
		case a.Y == b.Y:
			edges++
		default:
			hatch += r2.Norm(r2.Sub(b, a)) * hatchEach
			if !inside.Contains(r2.Scale(0.5, r2.Add(a, b))) {
				t.Errorf("a line of the hatching from %v to %v", a, b)
			}
		}
	}
	if across != 1 || edges != 2 {
		t.Errorf("%d ends of the table and %d margins; want 1, since the roll ends before the second, and 2", across, edges)
	}
	if math.Abs(hatch/inside.Area()-1) > 0.02 {
		t.Errorf("the hatching covers %.0f mm² of %.0f", hatch, inside.Area())
	}
}

// A piece that lies turned half round has its warp arrow against the roll's way and
// its words upright; one that is turned over says so, and its marks go with it.
func TestPiecesOnTheRoll(t *testing.T) {
	p := lapped()
	turned := Placed{Piece: p, At: r2.Vec{X: 1, Y: 0.5}, Turn: si.Degrees(180)}.Laid()
	if turned.Warp.X != -1 || turned.Warp.Y != 0 {
		t.Errorf("the warp points to %v", turned.Warp)
	}
	for _, it := range turned.onRoll().Layer(draw.Words) {
		if w, ok := it.(draw.Text); ok && w.Angle != 0 {
			t.Errorf("%q stands at %g", w.String, w.Angle)
		}
	}
	over := Placed{Piece: p, At: r2.Vec{X: 1, Y: 0.5}, Flipped: true}.Laid()
	if over.Words[2] != turnedOver || p.Words[2] == turnedOver {
		t.Errorf("words %q, of the piece itself %q", over.Words, p.Words)
	}
	// by hand: the slit's tip at (0.1, 0.05) lies at (1.1, 0.45) turned over
	if got := over.Knife[0][0]; r2.Norm(r2.Sub(got, r2.Vec{X: 1.1, Y: 0.45})) > 1e-12 {
		t.Errorf("the slit begins at %v", got)
	}
}

// No word on the roll lies on a cut, a slit, a thread figure or another word, and each
// stands upright within its own piece, however the pieces lie.
func TestRollWordsAreReadable(t *testing.T) {
	r := Roll{Part: "DN-1 Box", Material: "cloth", Width: 1.2, Length: 2}
	for i, turn := range []float64{0, 180, 90, 37} {
		a, b := lapped(), flower(0.6)
		a.Name, b.Name, b.Marks = string(rune('A'+i)), string(rune('P'+i)), nil
		r.Pieces = append(r.Pieces, Placed{Piece: a, At: r2.Vec{X: 0.35 + 0.5*float64(i), Y: 0.3}, Turn: si.Degrees(turn), Flipped: i%2 == 1},
			Placed{Piece: b, At: r2.Vec{X: 0.35 + 0.5*float64(i), Y: 0.9}, Turn: si.Degrees(turn)})
	}
	art := r.art()
	var words []draw.Text
	for _, it := range art.Layer(draw.Words) {
		words = append(words, it.(draw.Text))
	}
	named := map[string]bool{}
	for i, w := range words {
		named[w.String] = true
		b := w.Bounds()
		for _, layer := range []string{draw.Cut, KnifeLayer, draw.Warp} {
			for _, it := range art.Layer(layer) {
				if len(it.Clipped(b)) > 0 {
					t.Errorf("%q lies on layer %s", w.String, layer)
				}
			}
		}
		for _, o := range words[:i] {
			if len(o.Clipped(b)) > 0 && o.Bounds().Max.Y-b.Min.Y > 0.5 && b.Max.Y-o.Bounds().Min.Y > 0.5 {
				t.Errorf("%q lies on %q", w.String, o.String)
			}
		}
		if w.Angle != 0 {
			t.Errorf("%q stands at %g", w.String, w.Angle)
		}
	}
	for _, p := range r.Pieces {
		if !named[p.Piece.Name] {
			t.Errorf("piece %s has no name on it", p.Piece.Name)
		}
	}
}

// A picture that stands upright counts the width from where the pieces' own begins.
func TestUprightPictureCountsFromTheNearSelvedge(t *testing.T) {
	r := layout()
	r.Length, r.Pieces = 0.7, r.Pieces[:1] // its middle is 0.35 m from the near selvedge of 1.27
	at := map[string]float64{}
	for _, it := range RollPicture(r, r2.NewBox(0, 0, 100, 60)) {
		if w, ok := it.(draw.Text); ok {
			at[w.String] = w.At.X
		}
	}
	zero, far, piece := at["0 mm"], at["1270 mm"], at["3A"]
	if share := (piece - zero) / (far - zero); math.Abs(share-0.35/1.27) > 0.1 {
		t.Errorf("the piece stands at %.2f of the way from 0 to 1270 mm", share)
	}
}
