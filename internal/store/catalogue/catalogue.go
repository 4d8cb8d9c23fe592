// Package catalogue holds the embedded library of materials and reads a
// person's own library file in the same shape.
//
// Every value of the embedded library says how it is known, where from, and
// how far it usually strays; a source key stands in docs/sources.md, and
// "none" means common practice without a published source.
package catalogue

import (
	"embed"
	"fmt"
	"path"
	"sync"

	"laywright/internal/base/bind"
	"laywright/internal/base/material"
)

//go:embed data/*.yaml
var data embed.FS

// Library returns the embedded library.
func Library() (material.Set, error) { return library() }

var library = sync.OnceValues(load)

func load() (material.Set, error) {
	var all material.Set
	files, err := data.ReadDir("data")
	if err != nil {
		return all, err
	}
	for _, f := range files {
		source, err := data.ReadFile(path.Join("data", f.Name()))
		if err != nil {
			return all, err
		}
		set, problems := Read(source)
		if len(problems) > 0 {
			p := problems[0]
			return all, fmt.Errorf("%s:%d:%d: %s", f.Name(), p.Line, p.Column, p.What)
		}
		all = all.Over(set)
	}
	return all, nil
}

// Read reads a library file: sections of records as a job's `materials:` has them.
func Read(source []byte) (material.Set, []bind.Problem) {
	var set material.Set
	root, problems := bind.Parse(source)
	if root == nil {
		return set, problems
	}
	b := bind.New()
	b.Into(&set, "", root)
	bind.Sort(b.Problems)
	return set, b.Problems
}
