package cli

import (
	"fmt"
	"io"

	"laywright/internal/doc/draw"
	"laywright/internal/doc/dxf"
	"laywright/internal/doc/mouldbook"
	"laywright/internal/doc/moulddraw"
	"laywright/internal/doc/pattern"
	"laywright/internal/doc/svg"
	"laywright/internal/job"
	"laywright/internal/store/folder"
)

// mouldFiles are the book of the mould and the full-size pieces to saw for it.
func mouldFiles(plan job.Plan, sheet draw.Sheet) (files []folder.File, err error) {
	if pages := append(mouldbook.Pages(plan, sheet), moulddraw.Pages(plan)...); len(pages) > 0 {
		files = append(files, document("documents/mould.pdf", plan, pages))
	}
	for _, p := range mouldbook.Pieces(plan) {
		page, err := pattern.BoardSheet(p.Board)
		if err != nil {
			return nil, err
		}
		files = append(files, drawn("patterns/"+p.File, page)...)
		tiles, printable, err := pattern.BoardTiles(p.Board, sheet)
		if err != nil {
			return nil, err
		}
		if printable {
			files = append(files, document("patterns/"+p.File+".pdf", plan, tiles))
		}
	}
	if s := plan.Sheets; s != nil {
		for i := range s.Sheets {
			files = append(files, drawn(fmt.Sprintf("patterns/sheet-%02d", i+1), mouldbook.SheetPage(s, i))...)
		}
	}
	return files, nil
}

// drawn is a full-size page as a cutter and as a browser read it.
func drawn(stem string, page draw.Page) []folder.File {
	return []folder.File{
		{Path: stem + ".dxf", Write: func(w io.Writer) error { return dxf.Write(w, page) }},
		{Path: stem + ".svg", Write: func(w io.Writer) error { return svg.Write(w, page) }}}
}
