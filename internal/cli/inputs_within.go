package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"laywright/internal/base/fault"
	"laywright/internal/job"
)

// readWithin is [readInputs] for jobs that a page may write: the files that they name
// must lie in the folder that is served, links followed.
func readWithin(folder string) func(job.Spec, string) (job.Inputs, error) {
	return func(s job.Spec, dir string) (job.Inputs, error) {
		if err := allWithin(s, dir, folder); err != nil {
			return job.Inputs{}, err
		}
		return readInputs(s, dir)
	}
}

func allWithin(s job.Spec, dir, folder string) error {
	var errs []error
	check := func(field, name string) {
		if name != "" && !within(folder, beside(dir, name)) {
			errs = append(errs, &fault.Input{Field: field, What: "lies outside the folder that is served", Do: "put the file beside the job"})
		}
	}
	if s.Mould != nil {
		check("mould.file", s.Mould.File)
	}
	if s.Cure != nil {
		check("cure.trace", s.Cure.Trace.File)
	}
	if s.Roll != nil {
		check("roll.shelf", s.Roll.Shelf)
		for i, p := range s.Roll.Pieces {
			check(fmt.Sprintf("roll.pieces[%d].file", i), p.File)
		}
	}
	return errors.Join(errs...)
}

// within tells whether a file lies in a folder. One that is not there is judged by its
// path alone.
func within(folder, name string) bool {
	real, err := filepath.EvalSymlinks(name)
	if errors.Is(err, os.ErrNotExist) {
		real, err = filepath.Abs(name)
		if err == nil {
			folder, err = filepath.Abs(folder)
		}
	} else if err == nil {
		if real, err = filepath.Abs(real); err == nil {
			if folder, err = filepath.Abs(folder); err == nil {
				folder, err = filepath.EvalSymlinks(folder)
			}
		}
	}
	if err != nil {
		return false
	}
	rest, err := filepath.Rel(folder, real)
	return err == nil && filepath.IsLocal(rest)
}
