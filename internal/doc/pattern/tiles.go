package pattern

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/doc/draw"
)

// Measures of a tiled page in mm. The band is what two neighbouring pages both
// show; the page label has a strip of its own above the pattern.
const (
	tileMargin = 10
	tileBand   = 10
	labelStrip = 11
)

// pageCell is how finely a page is searched for room, in mm.
const pageCell = 2

// mostTiles is the most pages that one piece may take: above it somebody
// wanted a plotter, and joining paper would no longer be true.
const mostTiles = 400

// tiling is how one piece is cut into pages. Row 1 is at the top.
type tiling struct {
	plot
	paper      draw.Sheet
	rows, cols int
	win        r2.Vec // size of the window on each page
	origin     r2.Vec // lower left corner of the whole grid
	used       []bool // by row, then column: has something of the piece
}

// Tiles draws the piece at full size on pages of ordinary paper: first a map of
// the pages with the check square, then every page that the piece touches.
// Neighbours share a band; the dashed line in its middle is where one page is
// cut and laid on the same line of the next, and the diamonds on it, lettered
// by seam, must fall together.
func Tiles(p Piece, sheet draw.Sheet) ([]draw.Page, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	return p.plot().tiles(sheet)
}

// tiles is the map and the pages of the piece.
func (p plot) tiles(sheet draw.Sheet) ([]draw.Page, error) {
	tl := bestTiling(p, sheet)
	if n := tl.rows * tl.cols; n > mostTiles {
		size := p.size()
		return nil, &fault.Input{Field: p.field,
			What: fmt.Sprintf("%.0f x %.0f mm would take %d pages of %s", size.X, size.Y, n, sheet.Name),
			Do:   "plot the DXF or SVG at full size"}
	}
	tl.findUsed()
	return append([]draw.Page{tl.mapPage(tl.paper)}, tl.pages()...), nil
}

// pages are those that the piece touches, by rows.
func (t *tiling) pages() (out []draw.Page) {
	for r := range t.rows {
		for c := range t.cols {
			if t.has(r, c) {
				out = append(out, t.page(r, c))
			}
		}
	}
	return out
}

// bestTiling takes the sheet upright or turned, whichever needs fewer pages.
func bestTiling(p plot, sheet draw.Sheet) *tiling {
	up, turned := newTiling(p, sheet), newTiling(p, sheet.Turned())
	if turned.rows*turned.cols < up.rows*up.cols {
		return turned
	}
	return up
}

func newTiling(p plot, sheet draw.Sheet) *tiling {
	t := &tiling{plot: p, paper: sheet}
	t.win = r2.Vec{X: sheet.W - 2*tileMargin, Y: sheet.H - 2*tileMargin - labelStrip}
	box, _ := p.art.Bounds()
	size := box.Size()
	t.cols, t.rows = tilesFor(size.X, t.win.X), tilesFor(size.Y, t.win.Y)
	grid := r2.Vec{X: float64(t.cols)*t.step().X + tileBand, Y: float64(t.rows)*t.step().Y + tileBand}
	t.origin = r2.Sub(box.Center(), r2.Scale(0.5, grid))
	return t
}

// tilesFor is how many windows cover a length, each sharing a band with the
// next. Half a pen is kept so that no line lies on the window's border.
func tilesFor(length, window float64) int {
	return max(1, int(math.Ceil((length+1-tileBand)/(window-tileBand))))
}

func (t *tiling) step() r2.Vec { return r2.Vec{X: t.win.X - tileBand, Y: t.win.Y - tileBand} }

// window is what page r, c shows, in the art's axes.
func (t *tiling) window(r, c int) r2.Box {
	min := r2.Add(t.origin, r2.Vec{X: float64(c) * t.step().X, Y: float64(t.rows-1-r) * t.step().Y})
	return r2.Box{Min: min, Max: r2.Add(min, t.win)}
}

func (t *tiling) has(r, c int) bool {
	return 0 <= r && r < t.rows && 0 <= c && c < t.cols && t.used[r*t.cols+c]
}

// findUsed notes the pages that the outline's line crosses or that lie inside it.
func (t *tiling) findUsed() {
	t.used = make([]bool, t.rows*t.cols)
	for r := range t.rows {
		for c := range t.cols {
			w := t.window(r, c)
			used := t.holds(w.Center())
			for _, l := range t.art.Layers {
				for _, it := range l.Items {
					used = used || len(it.Clipped(w)) > 0
				}
			}
			t.used[r*t.cols+c] = used
		}
	}
}

// page draws one tile.
func (t *tiling) page(r, c int) draw.Page {
	at := r2.Vec{X: tileMargin, Y: tileMargin}
	w := t.window(r, c)
	pg := t.art.Window(tileName(r, c), w, t.paper.W, t.paper.H, at)
	toPage := draw.Move(r2.Sub(at, w.Min))
	free := newOccupancy(r2.Box{Min: at, Max: r2.Add(at, t.win)}, pageCell)
	for _, l := range pg.Layers {
		free.block(l.Items)
	}
	joints := draw.MoveAll(toPage, t.joints(r, c))
	pg.Add(draw.Paper, joints...)
	free.block(joints)
	if at, side, ok := free.findSquare(t.moved(toPage)); ok {
		pg.Add(draw.Words, checkSquare(at, side)...)
	} else {
		pg.Add(draw.Words, checkCorner(t.paper.H)...)
	}
	y := t.paper.H - tileMargin - 1
	name := fmt.Sprintf("%s · %s", t.pageName(r, c), t.head)
	pg.Add(draw.Paper,
		draw.Text{At: r2.Vec{X: tileMargin, Y: y}, String: name, Size: 12, Face: draw.Bold, Rise: draw.Below, Colour: draw.Ink},
		draw.Text{At: r2.Vec{X: tileMargin, Y: y - 5.5}, String: draw.Cropped("Print at 100 % (actual size) on "+t.paper.Name+". "+t.part, draw.Regular, 10, t.win.X), Size: 10, Rise: draw.Below, Colour: draw.Soft})
	return *pg
}

// moved is the outlines carried to a page.
func (t *tiling) moved(a draw.Affine) (out []geom.Polygon) {
	for _, o := range t.outlines {
		out = append(out, a.All(o))
	}
	return out
}

// pageName is the page's place, for whoever joins the pages.
func (t *tiling) pageName(r, c int) string {
	if t.rows*t.cols == 1 {
		return "one page"
	}
	return tileName(r, c)
}

func tileName(r, c int) string { return fmt.Sprintf("row %d, column %d", r+1, c+1) }
