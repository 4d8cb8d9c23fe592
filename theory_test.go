package laywright

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// theoryPages are the pages of docs/theory with their words.
func theoryPages(t *testing.T) map[string]string {
	t.Helper()
	files, err := filepath.Glob("docs/theory/*.md")
	if err != nil || len(files) == 0 {
		t.Fatalf("no page in docs/theory: %v", err)
	}
	out := map[string]string{}
	for _, file := range files {
		out[file] = readText(t, file)
	}
	return out
}

// Every function that a page names exists.
func TestTheoryNamesWhatExists(t *testing.T) {
	declared := declaredNames(t)
	named := regexp.MustCompile("`([a-z]+)\\.([A-Z]\\w*(?:\\.[A-Z]\\w*)?)`")
	count := 0
	for file, text := range theoryPages(t) {
		for _, m := range named.FindAllStringSubmatch(text, -1) {
			count++
			if name := m[1] + "." + m[2]; !declared[name] {
				t.Errorf("%s: %s is named and does not exist", file, name)
			}
		}
	}
	if count < 30 {
		t.Fatalf("the pages name %d functions", count)
	}
}

// declaredNames lists the exported functions, methods and types of base and
// stage, with their package's name before them.
func declaredNames(t *testing.T) map[string]bool {
	t.Helper()
	names := map[string]bool{}
	walk := func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		for _, d := range f.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				names[f.Name.Name+"."+receiver(d)+d.Name.Name] = true
			case *ast.GenDecl:
				for _, s := range d.Specs {
					if typ, ok := s.(*ast.TypeSpec); ok {
						names[f.Name.Name+"."+typ.Name.Name] = true
					}
				}
			}
		}
		return nil
	}
	for _, dir := range []string{"base", "stage"} {
		if err := filepath.WalkDir("internal/"+dir, walk); err != nil {
			t.Fatal(err)
		}
	}
	return names
}

// receiver is the type of a method with a dot; empty for a function.
func receiver(fn *ast.FuncDecl) string {
	if fn.Recv == nil {
		return ""
	}
	typ := fn.Recv.List[0].Type
	if star, ok := typ.(*ast.StarExpr); ok {
		typ = star.X
	}
	if id, ok := typ.(*ast.Ident); ok {
		return id.Name + "."
	}
	return ""
}

// largestPicture is the most that a picture of a page may weigh, in bytes.
const largestPicture = 150_000

// Every file that a page shows or leads to is there, and its pictures are light.
func TestTheoryLinks(t *testing.T) {
	link := regexp.MustCompile(`\]\(([^)#:]+)\)`)
	count := 0
	for file, text := range theoryPages(t) {
		for _, m := range link.FindAllStringSubmatch(text, -1) {
			count++
			info, err := os.Stat(filepath.Join(filepath.Dir(file), m[1]))
			if err != nil {
				t.Errorf("%s: %v", file, err)
			} else if strings.HasSuffix(m[1], ".png") && info.Size() > largestPicture {
				t.Errorf("%s: %s has %d bytes, more than %d", file, m[1], info.Size(), largestPicture)
			}
		}
	}
	if count < 30 {
		t.Fatalf("the pages lead to %d files", count)
	}
}
