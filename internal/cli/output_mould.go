package cli

import (
	"fmt"

	"laywright/internal/doc/mouldbook"
	"laywright/internal/doc/moulddraw"
	"laywright/internal/doc/pattern"
	"laywright/internal/job"
	"laywright/internal/store/folder"
)

// mouldFiles are the book of the mould and the full-size pieces to saw for it.
func mouldFiles(plan job.Plan, on paper) (files []folder.File, err error) {
	if pages := append(mouldbook.Pages(plan, on.documents), moulddraw.Pages(plan)...); len(pages) > 0 {
		files = append(files, document("documents/mould.pdf", plan, pages))
	}
	for _, p := range mouldbook.Pieces(plan) {
		page, err := pattern.BoardSheet(p.Board)
		if err != nil {
			return nil, err
		}
		files = append(files, drawn("patterns/"+p.File, page)...)
		tiles, printable, err := pattern.BoardTiles(p.Board, on.patterns)
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
