package laywright

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"go.yaml.in/yaml/v4"
)

const (
	sourcesFile  = "docs/sources.md"
	catalogueDir = "internal/store/catalogue/data"
	cautionsFile = "internal/job/cautions.go"
)

var (
	listedKey = regexp.MustCompile(`(?m)^- \[([a-z0-9.-]+)\] `)
	citedKey  = regexp.MustCompile(`\[([a-z0-9][a-z0-9.-]*)\]`)
	// a Source clause runs to the end of its paragraph
	sourceClause = regexp.MustCompile(`(?s)\bSources?:.*?(\n\s*\n|$)`)
	yearKey      = regexp.MustCompile(`^[a-z][a-z0-9-]*(18|19|20)[0-9]{2}$`)
	cautionCode  = regexp.MustCompile(`Caution\{"([a-z-]+)"`)
)

// Who reads a key in the code finds the work in docs/sources.md.
func TestEveryCitedSourceIsListed(t *testing.T) {
	listed, told := listedSources(t), map[citation]bool{}
	for _, c := range slices.Concat(citedInCode(t), citedInCatalogue(t), citedInTheory(t)) {
		if c.source && !slices.Contains(listed, c.key) && !told[c] {
			told[c] = true
			t.Errorf("%s: source [%s] does not stand in %s", c.where, c.key, sourcesFile)
		}
	}
}

// What stands in docs/sources.md is used, once listed, and in order.
func TestEveryListedSourceIsCited(t *testing.T) {
	cited := map[string]bool{}
	for _, c := range slices.Concat(citedInCode(t), citedInCatalogue(t), citedInTheory(t)) {
		cited[c.key] = true
	}
	seen := map[string]bool{}
	for _, key := range listedSources(t) {
		if !cited[key] {
			t.Errorf("%s: nothing cites [%s]", sourcesFile, key)
		}
		if seen[key] {
			t.Errorf("%s: [%s] stands there twice", sourcesFile, key)
		}
		seen[key] = true
	}
}

func TestSourcesAreSorted(t *testing.T) {
	for _, part := range strings.Split(readText(t, sourcesFile), "\n## ") {
		var keys []string
		for _, m := range listedKey.FindAllStringSubmatch(part, -1) {
			keys = append(keys, m[1])
		}
		if !slices.IsSorted(keys) {
			heading, _, _ := strings.Cut(part, "\n")
			t.Errorf("%s: the keys under %q are not in order", sourcesFile, heading)
		}
	}
}

// Each danger that a plan lists says where its facts are from.
func TestEveryCautionHasItsFacts(t *testing.T) {
	text := readText(t, sourcesFile)
	codes := cautionCode.FindAllStringSubmatch(readText(t, cautionsFile), -1)
	if len(codes) == 0 {
		t.Fatalf("no caution found in %s", cautionsFile)
	}
	for _, m := range codes {
		if !strings.Contains(text, "\n- `"+m[1]+"`: ") {
			t.Errorf("%s: nothing under Cautions about %s", sourcesFile, m[1])
		}
	}
}

// citedInTheory reads the pages of docs/theory: a key in brackets that is no link
// cites.
func citedInTheory(t *testing.T) (out []citation) {
	t.Helper()
	files, err := filepath.Glob("docs/theory/*.md")
	if err != nil || len(files) == 0 {
		t.Fatalf("no page in docs/theory: %v", err)
	}
	inTheory := regexp.MustCompile(`\[([a-z0-9][a-z0-9.-]*(?:18|19|20)[0-9]{2})\](?:[^(]|$)`)
	for _, file := range files {
		for _, m := range inTheory.FindAllStringSubmatch(readText(t, file), -1) {
			out = append(out, citation{key: m[1], where: file, source: true})
		}
	}
	return out
}

// citation is a key in brackets in a comment, or a source in the catalogue.
type citation struct {
	key, where string
	source     bool // told as a source or with a year, not a link in a comment
}

// citedInCode reads comments of all Go files, tests too: a key may be cited
// anywhere in them, but what follows the word Source must be one.
func citedInCode(t *testing.T) (out []citation) {
	t.Helper()
	walk := func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(file, ".go") {
			return err
		}
		places := token.NewFileSet()
		f, err := parser.ParseFile(places, file, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		for _, group := range f.Comments {
			out = append(out, citedInComment(group, places.Position(group.Pos()).String())...)
		}
		return nil
	}
	for _, dir := range []string{"cmd", "internal"} {
		if err := filepath.WalkDir(dir, walk); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

func citedInComment(group *ast.CommentGroup, where string) (out []citation) {
	text := group.Text()
	for _, m := range citedKey.FindAllStringSubmatch(text, -1) {
		out = append(out, citation{key: m[1], where: where, source: yearKey.MatchString(m[1])})
	}
	for _, clause := range sourceClause.FindAllString(text, -1) {
		for _, m := range citedKey.FindAllStringSubmatch(clause, -1) {
			out = append(out, citation{key: m[1], where: where, source: true})
		}
	}
	return out
}

// citedInCatalogue reads the key source of every value of the library; none
// means common practice without one.
func citedInCatalogue(t *testing.T) (out []citation) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(catalogueDir, "*.yaml"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no data in %s: %v", catalogueDir, err)
	}
	for _, file := range files {
		var root yaml.Node
		if err := yaml.Unmarshal([]byte(readText(t, file)), &root); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		eachSource(&root, func(key string) {
			if key != "none" {
				out = append(out, citation{key: key, where: file, source: true})
			}
		})
	}
	return out
}

func eachSource(n *yaml.Node, visit func(string)) {
	if n.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(n.Content); i += 2 {
			if n.Content[i].Value == "source" {
				visit(n.Content[i+1].Value)
			}
		}
	}
	for _, child := range n.Content {
		eachSource(child, visit)
	}
}

func listedSources(t *testing.T) (keys []string) {
	t.Helper()
	for _, m := range listedKey.FindAllStringSubmatch(readText(t, sourcesFile), -1) {
		keys = append(keys, m[1])
	}
	return keys
}

func readText(t *testing.T, file string) string {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
