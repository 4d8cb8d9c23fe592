// Package laywright holds no code: only the import rule.
package laywright

import (
	"go/format"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// mayImport is the policy: a package matching the left side may import, from
// this module, only what matches the right. The first matching line counts.
// To make a build pass, move the code, not the line.
var mayImport = []struct{ from, to string }{
	{"base/si", ""},
	{"base/fault", ""},
	{"base/likeness", ""},
	{"base/air", "base/si base/num"},
	{"base/num", "base/fault"},
	{"base/sparse", "base/fault"},
	{"base/geom", "base/fault base/num"},
	{"base/mesh", "base/fault base/num base/geom"},
	{"base/mesh/shapes", "base/mesh"}, // hard surfaces that tests share
	{"base/cut", "base/mesh"},
	{"base/facet", "base/mesh"},
	{"base/bind", "base/si base/fault"},
	{"base/outline", "base/si base/fault base/bind base/geom"},
	{"base/material", "base/si base/fault base/bind"},
	{"base/resin", "base/si base/fault base/num base/material"},
	{"base/wall", "base/si base/fault base/num base/material"},
	{"stage/duty", "base/* stage/exchanger stage/ducting stage/cabin stage/loads"},
	{"stage/slits", "base/* stage/drape"},
	{"stage/flat", "base/*"},
	{"stage/seed", "base/* stage/drape stage/slits"},
	{"stage/plies", "base/* stage/drape stage/seed stage/slits stage/flat stage/relay stage/hollow"},
	{"stage/strength", "base/* stage/shell stage/joint"},
	{"stage/mould", "base/* stage/mould/*"},
	{"stage/cure", "base/* stage/cure/* stage/probes"},
	{"stage/cure/*", "base/*"},
	{"stage/mould/*", "base/* stage/mould/*"},
	{"stage/relay", "base/* stage/flat stage/overlay"},
	{"stage/dress", "base/* stage/seed stage/slits stage/flat stage/relay"},
	{"stage/*", "base/*"},                            // stages are strangers: job introduces them
	{"job/jobtest", "base/mesh job store/catalogue"}, // plans that tests share
	{"job", "base/* stage/* stage/mould/release"},
	{"doc/draw", "base/geom"},
	{"doc/pattern", "base/* doc/draw"},
	{"doc/dxfread", ""}, // reads a pattern back in tests
	{"doc/plydraw", "base/* stage/* job doc/draw"},
	{"doc/moulddraw", "base/* stage/* stage/mould/* job doc/draw doc/plydraw"},
	{"doc/strengthdraw", "base/* stage/* job doc/draw doc/plydraw"},
	{"doc/dressdraw", "base/* stage/* job doc/draw doc/pattern"},
	{"doc/traveller", "base/* stage/* job doc/draw doc/plydraw doc/dressdraw"},
	{"doc/dutydraw", "base/* stage/* job doc/draw doc/plydraw"},
	{"doc/curedraw", "base/* stage/* job doc/draw doc/plydraw"},
	{"doc/cutting", "base/* stage/* job doc/draw doc/pattern"},
	{"doc/onepage", "base/* stage/* job doc/draw doc/cutting doc/pattern doc/plydraw doc/curedraw doc/dutydraw doc/strengthdraw"},
	{"doc/mouldbook", "base/* stage/* stage/mould/* job doc/draw doc/pattern"},
	{"doc/answer", "base/* stage/* job"},
	{"doc/*", "doc/draw"}, // pdf, dxf, svg
	{"store/catalogue", "base/*"},
	{"store/meshfile", "base/geom base/mesh"},
	{"store/outlines", "base/geom"},
	{"store/folder", ""},
	{"store/tracefile", ""},
	{"desk", "base/* stage/* job"},
	{"httpapi", "base/* stage/* job doc/* store/* desk"},
	{"cli", "base/* stage/* job doc/* store/* desk httpapi"},
}

// impure is what base, stage, job and doc do without from the standard library.
var impure = strings.Fields("os os/exec net net/http database/sql log log/slog time embed syscall math/rand")

// loose finds what an import can't show: printing, and chance without a seed.
var loose = regexp.MustCompile(`\bfmt\.Print|\brand\.(Int|Uint|Float|Perm|Shuffle|N\()`)

func TestImportDirection(t *testing.T) {
	eachGoFile(t, func(file, pkg string, source []byte) {
		allowed, known := policy(pkg)
		if !known {
			t.Errorf("%s: no line in mayImport for %s", file, pkg)
		}
		if isPure(pkg) {
			if at := loose.Find(source); at != nil {
				t.Errorf("%s: %s is pure and may not use %s", file, pkg, at)
			}
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, source, parser.ImportsOnly)
		if err != nil {
			t.Errorf("%s: %v", file, err)
			return
		}
		for _, spec := range f.Imports {
			name, _ := strconv.Unquote(spec.Path.Value)
			if isPure(pkg) && slices.Contains(impure, name) {
				t.Errorf("%s: %s is pure and may not import %q", file, pkg, name)
			}
			if dep, ours := strings.CutPrefix(name, "laywright/internal/"); ours && !matchAny(allowed, dep) {
				t.Errorf("%s: %s may not import %s", file, pkg, dep)
			}
		}
	})
}

func TestFormatted(t *testing.T) {
	eachGoFile(t, func(file, _ string, source []byte) {
		if got, err := format.Source(source); err != nil || string(got) != string(source) {
			t.Errorf("%s: run gofmt -w on it", file)
		}
	})
}

// eachGoFile visits the product's files, tests left out.
func eachGoFile(t *testing.T, visit func(file, pkg string, source []byte)) {
	t.Helper()
	err := filepath.WalkDir("internal", func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return err
		}
		source, err := os.ReadFile(file)
		if err == nil {
			visit(file, strings.TrimPrefix(filepath.ToSlash(filepath.Dir(file)), "internal/"), source)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

func policy(pkg string) (allowed []string, known bool) {
	for _, r := range mayImport {
		if ok, _ := path.Match(r.from, pkg); ok {
			return strings.Fields(r.to), true
		}
	}
	return nil, false
}

func isPure(pkg string) bool {
	group, _, _ := strings.Cut(pkg, "/")
	return slices.Contains([]string{"base", "stage", "job", "doc"}, group)
}

func matchAny(patterns []string, name string) bool {
	return slices.ContainsFunc(patterns, func(p string) bool { ok, _ := path.Match(p, name); return ok })
}
