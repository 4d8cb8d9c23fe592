package pattern

import (
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/doc/draw"
)

// plotterPaper are the widths of paper that plotters take, in mm: 24, 36 and 42 in.
var plotterPaper = [...]struct {
	name string
	wide float64
}{{"24 in (610 mm)", 609.6}, {"36 in (914 mm)", 914.4}, {"42 in (1067 mm)", 1066.8}}

// longestPage is the longest page of a PDF that every reader opens: 14,400 points
// are 5,080 mm; a point is kept for rounding. Source: [iso32000], annex C.
const longestPage = 5079

// shortestPage holds the check square and the page's words, in mm.
const shortestPage = 300

// RollPlot draws the whole roll at full size for a paper plotter: on one page of the
// narrowest paper that holds it, along the paper or across it, or on as few pages as
// there may be, joined as those of [Tiles] are. Several pages begin with their map,
// drawn on the sheet.
func RollPlot(r Roll, sheet draw.Sheet) ([]draw.Page, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	tl := r.plot().plotted()
	if n := tl.rows * tl.cols; n > mostTiles {
		return nil, &fault.Input{Field: "roll." + r.Material, What: fmt.Sprintf("%.0f m would take %d pages of plotter paper", float64(r.Length), n), Do: "cut from the DXF or plot the HPGL"}
	}
	pages := tl.pages()
	if len(pages) > 1 {
		pages = append([]draw.Page{tl.mapPage(sheet)}, pages...)
	}
	return pages, nil
}

// plotted lays the drawing on plotter paper in as few pages as there may be, and of
// those ways on the narrowest paper.
func (p plot) plotted() (best *tiling) {
	box, _ := p.art.Bounds()
	size := box.Size()
	for _, paper := range plotterPaper {
		name := paper.name + " plotter paper"
		for _, s := range [...]draw.Sheet{
			{Name: name, W: pageLength(size.X, 2*tileMargin), H: paper.wide},
			{Name: name, W: paper.wide, H: pageLength(size.Y, 2*tileMargin+labelStrip)},
		} {
			if t := newTiling(p, s); best == nil || t.rows*t.cols < best.rows*best.cols {
				best = t
			}
		}
	}
	best.findUsed()
	return best
}

// pageLength is how long the pages are that take a length in as few as may be, all
// alike. Beside the pattern a page has its margins.
func pageLength(length, margins float64) float64 {
	const rounding = 0.01 // mm, so that tilesFor comes to the same count
	length++
	n := math.Ceil(max(1, (length-tileBand)/(longestPage-margins-tileBand)))
	return max(shortestPage, (length-tileBand)/n+tileBand+margins+rounding)
}
