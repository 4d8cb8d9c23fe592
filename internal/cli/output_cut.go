package cli

import (
	"cmp"
	"fmt"
	"io"

	"laywright/internal/doc/cutting"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/dxf"
	"laywright/internal/doc/hpgl"
	"laywright/internal/doc/pattern"
	"laywright/internal/doc/svg"
	"laywright/internal/job"
	"laywright/internal/stage/plies"
	"laywright/internal/store/folder"
)

// cutFiles are the patterns of all pieces.
func cutFiles(plan job.Plan, on paper) (files []folder.File, err error) {
	if plan.Plies == nil {
		return nil, nil
	}
	for _, p := range plan.Plies.Plies {
		more, err := pieceFiles(plan, p, on)
		if err != nil {
			return nil, err
		}
		files = append(files, more...)
	}
	return files, nil
}

// pieceFiles are the patterns of a ply's pieces.
func pieceFiles(plan job.Plan, p plies.Ply, on paper) (files []folder.File, err error) {
	for _, piece := range p.AllPieces() {
		shape := cutting.Piece(plan, p, piece)
		page, err := pattern.Sheet(shape)
		if err != nil {
			return nil, err
		}
		tiles, err := pattern.Tiles(shape, on.patterns)
		if err != nil {
			return nil, err
		}
		stem := "patterns/" + piece.Name
		files = append(append(files, cut(stem, page)...), document(stem+".pdf", plan, tiles))
	}
	return files, nil
}

// rollFiles are each roll's layout at full size: for cutters, and on plotter paper.
func rollFiles(plan job.Plan, on paper) (files []folder.File, err error) {
	used := map[string]int{}
	for i, r := range cutting.Rolls(plan) {
		page, err := pattern.RollSheet(r)
		if err != nil {
			return nil, err
		}
		plot, err := pattern.RollPlot(r, on.documents)
		if err != nil {
			return nil, err
		}
		name := cmp.Or(plan.Roll.Rolls[i].Material, fmt.Sprint(i+1))
		if used[name]++; used[name] > 1 { // a second roll of one cloth
			name = fmt.Sprintf("%s-%d", name, used[name])
		}
		stem := "patterns/roll-" + name
		files = append(append(files, cut(stem, page)...), document(stem+".pdf", plan, plot))
	}
	return files, nil
}

// tableFiles are what the person at the cutting table reads.
func tableFiles(plan job.Plan, on paper) (files []folder.File, err error) {
	if pages := cutting.Hand(plan, on.documents); len(pages) > 0 {
		files = append(files, document("documents/cutting.pdf", plan, pages))
	}
	labels, err := cutting.Labels(plan, on.documents)
	if len(labels) > 0 {
		files = append(files, document("documents/labels.pdf", plan, labels))
	}
	return files, err
}

// drawn is a full-size page as a cutter and as a browser read it.
func drawn(stem string, page draw.Page) []folder.File {
	return []folder.File{
		{Path: stem + ".dxf", Write: func(w io.Writer) error { return dxf.Write(w, page) }},
		{Path: stem + ".svg", Write: func(w io.Writer) error { return svg.Write(w, page) }}}
}

// cut is a full-size page of cloth: as drawn, and for the pen and the knife of a
// plotter.
func cut(stem string, page draw.Page) []folder.File {
	return append(drawn(stem, page),
		folder.File{Path: stem + "-pen.plt", Write: func(w io.Writer) error { return hpgl.Write(w, page, hpgl.Pen) }},
		folder.File{Path: stem + "-knife.plt", Write: func(w io.Writer) error { return hpgl.Write(w, page, hpgl.Knife) }})
}
