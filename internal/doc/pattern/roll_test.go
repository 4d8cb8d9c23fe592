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
		r.Pieces = append(r.Pieces, Placed{Name: "3" + string(rune('A'+i)),
			Outline: Place(p.Outline, r2.Vec{X: 0.35 + 0.56*float64(i), Y: 0.35 + 0.55*float64(i%2)}, si.Degrees(float64(i%2)*180), false)})
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
