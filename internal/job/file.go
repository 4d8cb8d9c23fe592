package job

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// File is a job file that has been read.
type File struct {
	Spec       Spec
	Places     map[string]bind.Place // where each value stands
	Tolerances map[string]float64    // half-widths in SI units, by path
	Texts      map[string]string     // quantities as they were written, by path
}

// Read reads a job file. It reports every problem of form at once; what the
// stages find wrong comes from [Make].
func Read(source []byte) (File, []bind.Problem) {
	root, problems := bind.Parse(source)
	if root == nil {
		return File{}, problems
	}
	b := bind.New()
	f := File{Places: b.Places, Tolerances: b.Tolerances, Texts: b.Texts}
	b.Into(&f.Spec, "", root)
	f.checkHead(b)
	bind.Sort(b.Problems)
	return f, b.Problems
}

// checkHead checks what no stage looks at.
func (f File) checkHead(b *bind.Binder) {
	at := func(path string) bind.Place {
		if p, ok := b.Places[path]; ok {
			return p
		}
		return bind.Place{Line: 1, Column: 1}
	}
	if f.Spec.Version != 1 {
		b.FailAt("laywright", at("laywright"), "the file must begin with laywright: 1, the version of its form")
	}
	laid, from := f.Spec.resinName()
	if c := f.Spec.Cure; c != nil && c.Resin != "" && c.Resin != laid {
		b.FailAt("cure.resin", at("cure.resin"), "%s; take cure.resin out, or name the same", laidWith(from, laid))
	}
	if w := f.Spec.Wetout; w != nil && w.Resin != "" && w.Resin != laid {
		b.FailAt("wetout.resin", at("wetout.resin"), "%s; take wetout.resin out, or name the same", laidWith(from, laid))
	}
	if r := f.Spec.Roll; r != nil && len(r.Pieces) > 0 && f.Spec.Mould != nil {
		b.FailAt("roll.pieces", at("roll.pieces"), "pieces are given where there is no mould; take them out, or plan them in a job of their own")
	}
	switch f.Spec.Show {
	case "", si.Metric, si.US:
	default:
		b.FailAt("show", at("show"), "show is %q; write us or metric", f.Spec.Show)
	}
}

// laidWith says where another resin is named.
func laidWith(from, name string) string {
	if from == "laminate.resin" {
		return "the laminate is laid with " + name
	}
	return from + " is " + name
}

// toleranceNote says which tolerances of the file the plan does not carry
// through: its numbers hold for the middle values. Those of materials' values are
// kept as their spread.
func (f File) toleranceNote() []fault.Finding {
	var paths []string
	for path := range f.Tolerances {
		if !strings.HasPrefix(path, "materials.") {
			paths = append(paths, path)
		}
	}
	if len(paths) == 0 {
		return nil
	}
	slices.Sort(paths)
	return []fault.Finding{{Stage: "job", Severity: fault.Note, Code: "tolerance-not-carried",
		What: "The plan's numbers hold for the middle of " + strings.Join(paths, ", ") + ".",
		Why:  "tolerances written in the job are kept but not yet carried through to the results",
		Do:   "plan again with the value at either end to see what moves"}}
}

// Locate turns an error of [Make] into problems with their places in the file.
// An error that names no field stands at the file's beginning.
func (f File) Locate(err error) (out []bind.Problem) {
	for _, e := range single(err) {
		path, what := "", e.Error()
		var input *fault.Input
		var limits *fault.Range
		switch {
		case errors.As(e, &input):
			path = input.Field
		case errors.As(e, &limits):
			path = limits.Field
			if text := f.Texts[path]; text != "" {
				what += "; the file says " + text
			}
		}
		// "laminate: laminate.stack ..." names the stage twice
		if stage, rest, cut := strings.Cut(what, ": "); cut && strings.HasPrefix(rest, stage+".") {
			what = rest
		}
		out = append(out, bind.Problem{Place: f.place(path), Path: path, What: what})
	}
	bind.Sort(out)
	return out
}

// single takes an error apart that joins several, also where they are joined
// within the words of a stage: each keeps those words.
func single(err error) (out []error) {
	switch e := err.(type) {
	case interface{ Unwrap() []error }:
		for _, one := range e.Unwrap() {
			out = append(out, single(one)...)
		}
		return out
	case interface{ Unwrap() error }:
		inner := e.Unwrap()
		parts := single(inner)
		if len(parts) < 2 {
			break
		}
		words := strings.TrimSuffix(err.Error(), inner.Error())
		for _, one := range parts {
			out = append(out, fmt.Errorf("%s%w", words, one))
		}
		return out
	}
	return []error{err}
}

// place finds the nearest enclosing value of a path that stands in the file.
func (f File) place(path string) bind.Place {
	for path != "" {
		if p, ok := f.Places[path]; ok {
			return p
		}
		cut := strings.LastIndexAny(path, ".[ ")
		if cut < 0 {
			break
		}
		path = path[:cut]
	}
	return bind.Place{Line: 1, Column: 1}
}
