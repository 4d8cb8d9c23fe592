package cli

import (
	"laywright/internal/doc/cutting"
	"laywright/internal/doc/dressdraw"
	"laywright/internal/doc/pattern"
	"laywright/internal/job"
	"laywright/internal/store/folder"
)

// dressFiles are the full-size pieces of the sheets that lie over the cloth, and the rolls
// that they are cut from.
func dressFiles(plan job.Plan, on paper) (files []folder.File, err error) {
	if plan.Dress == nil {
		return nil, nil
	}
	for _, p := range dressdraw.Pieces(plan, cutting.PartName(plan)) {
		page, err := pattern.BoardSheet(p)
		if err != nil {
			return nil, err
		}
		files = append(files, cut("patterns/"+p.Name, page)...)
		tiles, printable, err := pattern.BoardTiles(p, on.patterns)
		if err != nil {
			return nil, err
		}
		if printable {
			files = append(files, document("patterns/"+p.Name+".pdf", plan, tiles))
		}
	}
	for _, r := range plan.Dress.Rolls {
		files = append(files, cut("patterns/dress-"+r.Material, dressdraw.RollPage(plan, r))...)
	}
	return files, nil
}
