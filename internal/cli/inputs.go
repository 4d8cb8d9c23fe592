package cli

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/job"
	"laywright/internal/stage/cure"
	"laywright/internal/stage/mould"
	"laywright/internal/stage/nest"
	"laywright/internal/store/meshfile"
)

// readInputs reads the files that a job names, from the job's own folder.
func readInputs(s job.Spec, dir string) (in job.Inputs, err error) {
	var errMesh, errTrace, errShelf, errDrawn error
	if s.Mould != nil && s.Mould.File != "" {
		in.Mesh, errMesh = readMesh(beside(dir, s.Mould.File), s.Mould.Unit)
	}
	if s.Cure != nil && s.Cure.Trace != "" {
		in.Trace, errTrace = readTrace(beside(dir, s.Cure.Trace))
	}
	if s.Roll != nil && s.Roll.Shelf != "" {
		in.Shelf, errShelf = readShelf(beside(dir, s.Roll.Shelf))
	}
	if s.Roll != nil {
		in.Drawn, errDrawn = readDrawings(s.Roll.Pieces, dir)
	}
	return in, errors.Join(errMesh, errTrace, errShelf, errDrawn)
}

// readShelf reads the stock that an earlier plan left.
func readShelf(name string) ([]nest.StockSpec, error) {
	source, err := readWhole(name, jobSize)
	if err != nil {
		return nil, &fault.Input{Field: "roll.shelf", What: err.Error(), Do: "the file is looked for beside the job file"}
	}
	stock, problems := job.ReadShelf(source)
	if len(problems) > 0 {
		return nil, &fault.Input{Field: "roll.shelf", What: listProblems(name, problems)}
	}
	return stock, nil
}

func beside(dir, name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(dir, name)
}

func readMesh(name, unit string) (*mesh.Mesh, error) {
	size := 1.0
	if strings.ToLower(filepath.Ext(name)) != ".3mf" || unit != "" { // 3MF carries its own unit
		if unit == "" {
			return nil, askUnit(name)
		}
		var err error
		if size, err = si.Size(unit, si.Length(0).Kind()); err != nil {
			return nil, &fault.Input{Field: "mould.unit", What: err.Error()}
		}
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, &fault.Input{Field: "mould.file", What: plainPathError(err).Error(), Do: "the file is looked for beside the job file"}
	}
	defer f.Close()
	m, _, err := meshfile.Read(f, filepath.Base(name), size, meshfile.Limits{})
	if err != nil {
		return nil, &fault.Input{Field: "mould.file", What: err.Error()}
	}
	return m, nil
}

// askUnit measures a mesh file without a unit, to ask for it by what it would come
// to. A thousandth of a unit keeps large numbers within the reader's limits.
func askUnit(name string) error {
	const size = 1e-3
	m, err := readMesh(name, "mm")
	if err != nil {
		return err
	}
	box := m.Bounds()
	return mould.AskUnit(filepath.Base(name), r3.Scale(1/size, r3.Sub(box.Max, box.Min)))
}

// traceSize bounds the file of a trace.
const traceSize = 64 << 20

// traceRows bounds a trace: a probe read each second for a week.
const traceRows = 700_000

// readTrace reads a measured temperature trace: two columns, time and
// temperature, under a heading that names their units, such as "min,degC".
func readTrace(name string) (c cure.Curve, err error) {
	refuse := func(format string, a ...any) (cure.Curve, error) {
		return cure.Curve{}, &fault.Input{Field: "cure.trace", What: filepath.Base(name) + ": " + fmt.Sprintf(format, a...),
			Do: "write a heading with two units, such as min,degC, and a time and a temperature on each line"}
	}
	source, err := readWhole(name, traceSize)
	if err != nil {
		return c, &fault.Input{Field: "cure.trace", What: err.Error(), Do: "the file is looked for beside the job file"}
	}
	source = bytes.TrimPrefix(source, []byte("\ufeff"))
	r := csv.NewReader(bytes.NewReader(source))
	r.FieldsPerRecord, r.TrimLeadingSpace, r.Comment = 2, true, '#'
	if head, _, _ := bytes.Cut(source, []byte("\n")); !bytes.ContainsRune(head, ',') {
		r.Comma = ';'
	}
	units, err := r.Read()
	if err != nil {
		return refuse("its first line is no heading of two columns")
	}
	for i, cell := range units {
		units[i] = unitIn(cell)
	}
	for row := 0; row < traceRows; row++ {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			if len(c.X) < 2 {
				return refuse("it holds %d readings, a trace needs two or more", len(c.X))
			}
			return c, nil
		}
		if err != nil {
			return refuse("%v", err)
		}
		line, _ := r.FieldPos(0)
		t, errT := traceValue(cells[0], units[0], si.Time(0).Kind())
		x, errX := traceValue(cells[1], units[1], si.Temperature(0).Kind())
		for _, err := range []error{errT, errX} {
			if err != nil {
				return refuse("line %d: %v", line, err)
			}
		}
		c.X, c.Y = append(c.X, si.Time(t)), append(c.Y, si.Temperature(x))
	}
	return refuse("more than %d lines", traceRows)
}

// unitIn takes the unit out of a heading such as "min" or "time [min]".
func unitIn(cell string) string {
	if _, after, ok := strings.Cut(cell, "["); ok {
		cell, _, _ = strings.Cut(after, "]")
	}
	return strings.TrimSpace(cell)
}

func traceValue(cell, unit string, k si.Kind) (float64, error) {
	x, err := strconv.ParseFloat(strings.TrimSpace(cell), 64)
	if err != nil {
		return 0, fmt.Errorf("%q is no number", cell)
	}
	return si.Convert(x, strings.TrimSpace(unit), k)
}
