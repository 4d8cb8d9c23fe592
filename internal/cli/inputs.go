package cli

import (
	"errors"
	"os"
	"path/filepath"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/job"
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
	if s.Cure != nil && s.Cure.Trace.File != "" {
		in.Trace, errTrace = readTrace(s.Cure.Trace, dir)
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
