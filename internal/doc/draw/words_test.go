package draw

import (
	"fmt"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/gonum/spatial/r2"
)

// The letters that shop documents need are in every face.
func TestFacesHoldTheLettersWeUse(t *testing.T) {
	const need = "abcXYZ0123456789 °±µØ×−–·…²³½¼≤≥≈→αβρΔΣéöß%&/()[]'\"!?"
	for _, f := range []Face{Regular, Bold, Mono} {
		for _, r := range need {
			if _, ok := advances[f]()[r]; !ok {
				t.Errorf("face %d lacks %q", f, r)
			}
		}
	}
}

// The height of a capital is in the font's own table; every figure of the mono
// face has one width.
func TestMetricsAreTheFonts(t *testing.T) {
	for _, face := range []Face{Regular, Bold, Mono} {
		f, err := sfnt.Parse(TTF(face))
		if err != nil {
			t.Fatal(err)
		}
		var buf sfnt.Buffer
		m, err := f.Metrics(&buf, fixed.I(emUnits), font.HintingNone)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "height of a capital", float64(m.CapHeight)/64/emUnits, capRatio, 0.02)
	}
	near(t, "mono", Width("iiii", Mono, 10), Width("WWWW", Mono, 10), 1e-12)
	near(t, "sum of parts", Width("warp and weft", Bold, 10), Width("warp ", Bold, 10)+Width("and weft", Bold, 10), 1e-12)
	near(t, "twice the size", Width("weft", Regular, 20), 2*Width("weft", Regular, 10), 1e-12)
}

func TestWrapKeepsEveryWordAndTheWidth(t *testing.T) {
	const s = "Lay the cloth from the seed outwards; a verylongwordthatfitsnowhereatallinthiscolumn must be broken.\nA new line stays new."
	for _, width := range []float64{12, 25, 60, 300} {
		lines := Wrap(s, Regular, Body, width)
		for _, l := range lines {
			if Width(l, Regular, Body) > width {
				t.Errorf("%q is wider than %g mm", l, width)
			}
		}
		squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
		if squeeze(strings.Join(lines, " ")) != squeeze(s) {
			t.Errorf("at %g mm words were lost: %q", width, lines)
		}
	}
}

func TestWritableReplacesWhatCannotBeDrawn(t *testing.T) {
	if got := Writable("a\tb\u4e00c", Regular); got != "a b?c" {
		t.Errorf("got %q", got)
	}
}

// Where words stand: a centred line turned by a quarter has its middle on its
// point, and its length runs upwards.
func TestTextStandsWhereItSays(t *testing.T) {
	tx := Text{At: r2.Vec{X: 50, Y: 50}, String: "warp", Size: 12, Align: Centre, Angle: 1.5707963267948966}
	at, along := tx.Base()
	near(t, "begins below", 50-at.Y, Width("warp", Regular, 12)/2, 1e-9)
	near(t, "runs up", along.Y, 1, 1e-12)
	mid := Text{At: r2.Vec{}, String: "warp", Size: 12, Rise: MidHeight}
	at, _ = mid.Base()
	near(t, "base line", at.Y, -CapHeight(12)/2, 1e-12)
	turned := mid.Moved(Mirror()).(Text)
	if turned.String != "warp" || turned.Size != 12 {
		t.Error("words must not be mirrored or scaled")
	}
}

// Every row of a long table is drawn once, the head on each page, and nothing
// reaches over the sheet's margins.
func TestFlowTableAcrossPages(t *testing.T) {
	f := NewFlow(Letter(), "footer")
	f.Title("A long table", "")
	tb := Table{Columns: []Column{{Head: "the head", Share: 2}, {Head: "Done", Share: 1, Align: Centre}}}
	const rows = 120
	for i := range rows {
		tb.Rows = append(tb.Rows, []string{fmt.Sprintf("row-%03d and some words that wrap in a narrow column, twice over, to be sure of it", i), Tick})
	}
	f.Table(tb)
	pages := f.Pages()
	if len(pages) < 3 {
		t.Fatalf("%d pages", len(pages))
	}
	seen := map[string]int{}
	for n, p := range pages {
		heads := 0
		for _, it := range p.Layer(Paper) {
			b := it.Bounds()
			if b.Min.X < Letter().Margin-0.1 || b.Max.X > p.W-Letter().Margin+0.1 || b.Min.Y < Letter().Margin-2 || b.Max.Y > p.H-Letter().Margin+1 {
				t.Fatalf("page %d: %+v reaches over the margin", n+1, it)
			}
			if tx, ok := it.(Text); ok {
				if tx.String == "the head" {
					heads++
				}
				if tx.String != "footer" && !strings.HasPrefix(tx.String, "Page ") && b.Min.Y < Letter().Margin+footerRoom {
					t.Errorf("page %d: %q runs into the footer", n+1, tx.String)
				}
				if strings.HasPrefix(tx.String, "row-") {
					seen[tx.String[:7]]++
				}
				if tx.Size < Small {
					t.Errorf("%q is %g points", tx.String, tx.Size)
				}
			}
		}
		if heads != 1 {
			t.Errorf("page %d has %d heads", n+1, heads)
		}
	}
	for i := range rows {
		if k := fmt.Sprintf("row-%03d", i); seen[k] != 1 {
			t.Errorf("%s is drawn %d times", k, seen[k])
		}
	}
}

func TestCropped(t *testing.T) {
	s := Cropped("a name that is far too long for its place", Regular, Body, 30)
	if !strings.HasSuffix(s, "…") || Width(s, Regular, Body) > 30 {
		t.Errorf("got %q", s)
	}
	if got := Cropped("short", Regular, Body, 30); got != "short" {
		t.Errorf("got %q", got)
	}
}
