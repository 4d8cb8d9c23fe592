package cli

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/job"
	"laywright/internal/stage/nest"
	"laywright/internal/store/outlines"
)

// drawingSize bounds the file of a drawing.
const drawingSize = 64 << 20

// readDrawings reads the drawings that lines of roll.pieces name.
func readDrawings(lines []nest.PieceSpec, dir string) (map[int]job.Drawn, error) {
	out := map[int]job.Drawn{}
	var errs []error
	for i, line := range lines {
		if line.File == "" {
			continue
		}
		d, err := readDrawing(line, "roll."+fault.Numbered("pieces", i), dir)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		out[i] = d
	}
	return out, errors.Join(errs...)
}

func readDrawing(line nest.PieceSpec, field, dir string) (out job.Drawn, err error) {
	o := outlines.Options{Layer: line.Layer}
	if line.Unit != "" {
		if o.Unit, err = si.Size(line.Unit, si.Length(0).Kind()); err != nil {
			return out, &fault.Input{Field: field + ".unit", What: err.Error()}
		}
	}
	source, err := readWhole(beside(dir, line.File), drawingSize)
	if err != nil {
		return out, &fault.Input{Field: field + ".file", What: err.Error(), Do: "the file is looked for beside the job file"}
	}
	d, err := outlines.Read(bytes.NewReader(source), line.File, o)
	if err != nil {
		return out, &fault.Input{Field: field + ".file", What: err.Error()}
	}
	for _, x := range d.Outlines {
		out.Pieces = append(out.Pieces, job.DrawnPiece{Name: x.Name, Outline: x.Ring, Holes: x.Holes})
	}
	out.Left = leftOut(d)
	return out, nil
}

// leftOut says what of a drawing is not cut.
func leftOut(d outlines.Drawing) string {
	var parts []string
	if d.Open > 0 {
		parts = append(parts, fault.Count(d.Open, "line that closes nowhere", "lines that close nowhere"))
	}
	if d.Specks > 0 {
		parts = append(parts, fault.Count(d.Specks, "outline under a square millimetre", "outlines under a square millimetre"))
	}
	for _, kind := range slices.Sorted(maps.Keys(d.Left)) {
		parts = append(parts, fmt.Sprintf("%d × %s", d.Left[kind], kind))
	}
	return strings.Join(parts, ", ")
}
