// Package pdf writes drawn pages as PDF at true size: a millimetre of the page
// is a millimetre of paper when it is printed at 100 %.
//
// The drawing's layers become layers that a reader can switch. The Go fonts are
// embedded, cut down to the letters used, so ° ± µ Ø × − come out anywhere. The
// same pages give the same bytes: the dates are fixed and the catalogue sorted.
//
// It does not paginate, clip or lay out: that is done before, in doc/draw. A
// page over 5,080 mm a side is refused, because PDF readers need not open it.
package pdf

import (
	"bytes"
	"fmt"
	"io"

	"codeberg.org/go-pdf/fpdf"

	"laywright/internal/doc/draw"
)

// Meta is what the file says about itself.
type Meta struct {
	Title   string
	Subject string
	Creator string // the program and its version
}

// maxSide is the largest page side in mm: 14,400 points, the limit that
// readers keep to where no user unit is given. Source: [iso32000], annex C.
const maxSide = 5080

// fixedYears moves the zero date to 2000-01-01, the date in every file: a true
// one would make equal plans differ.
const fixedYears = 1999

// Write writes the pages as one PDF file.
func Write(w io.Writer, pages []draw.Page, meta Meta) error {
	if len(pages) == 0 {
		return fmt.Errorf("pdf: no pages to write")
	}
	for i, p := range pages {
		if err := p.Check(); err != nil {
			return fmt.Errorf("pdf: page %d: %w", i+1, err)
		}
		if max(p.W, p.H) > maxSide {
			return fmt.Errorf("pdf: page %d is %.0f x %.0f mm; a side may be at most %d mm: tile it, or write DXF or SVG", i+1, p.W, p.H, maxSide)
		}
	}
	f := open(pages, meta)
	ids := layerIDs(f, pages)
	for _, p := range pages {
		f.AddPageFormat("P", fpdf.SizeType{Wd: p.W, Ht: p.H})
		e := &encoder{f: f, h: p.H}
		for _, l := range p.Layers {
			f.BeginLayer(ids[l.Name])
			e.items(l.Items)
			f.EndLayer()
		}
	}
	var buf bytes.Buffer // whole or not at all
	if err := f.Output(&buf); err != nil {
		return fmt.Errorf("pdf: %w", err)
	}
	_, err := w.Write(buf.Bytes())
	return err
}

func open(pages []draw.Page, meta Meta) *fpdf.Fpdf {
	first := pages[0]
	f := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "mm", Size: fpdf.SizeType{Wd: first.W, Ht: first.H}})
	f.SetCatalogSort(true)
	day := f.GetCreationDate().AddDate(fixedYears, 0, 0)
	f.SetCreationDate(day)
	f.SetModificationDate(day)
	f.SetAutoPageBreak(false, 0)
	f.SetMargins(0, 0, 0)
	f.SetTitle(meta.Title, true)
	f.SetSubject(meta.Subject, true)
	f.SetCreator(meta.Creator, true)
	for _, face := range faces(pages) {
		// The library writes into the font it is given while it cuts it down;
		// a copy keeps one file from changing the next.
		f.AddUTF8FontFromBytes(family(face), "", bytes.Clone(draw.TTF(face)))
	}
	return f
}

// faces are those that the pages write in.
func faces(pages []draw.Page) []draw.Face {
	var used [3]bool
	for _, p := range pages {
		for _, l := range p.Layers {
			for _, it := range l.Items {
				if t, ok := it.(draw.Text); ok {
					used[t.Face] = true
				}
			}
		}
	}
	var out []draw.Face
	for face, u := range used {
		if u {
			out = append(out, draw.Face(face))
		}
	}
	return out
}

func family(face draw.Face) string {
	return [...]string{draw.Regular: "goregular", draw.Bold: "gobold", draw.Mono: "gomono"}[face]
}

// layerIDs makes one switchable layer for each name, in the order they are met.
func layerIDs(f *fpdf.Fpdf, pages []draw.Page) map[string]int {
	ids := map[string]int{}
	for _, p := range pages {
		for _, l := range p.Layers {
			if _, seen := ids[l.Name]; !seen {
				ids[l.Name] = f.AddLayer(l.Name, true)
			}
		}
	}
	return ids
}
