package cli

import (
	"fmt"
	"slices"
	"strings"

	"laywright/internal/doc/draw"
)

// paper is what a plan is printed on: patterns on the size asked for, documents on
// the size for binders beside it.
type paper struct {
	name                string
	patterns, documents draw.Sheet
}

var papers = [...]paper{
	{"a4", draw.A4(), draw.A4()},
	{"a3", draw.A3(), draw.A4()},
	{"letter", draw.Letter(), draw.Letter()},
	{"tabloid", draw.Tabloid(), draw.Letter()},
}

// paperNames lists the sizes: "a4, a3, letter or tabloid".
func paperNames() string {
	var names []string
	for _, p := range papers {
		names = append(names, p.name)
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " or " + names[last]
}

// paperNamed finds a size by its name, in capitals or not.
func paperNamed(name string) (paper, error) {
	i := slices.IndexFunc(papers[:], func(p paper) bool { return strings.EqualFold(p.name, name) })
	if i < 0 {
		return paper{}, fmt.Errorf("--paper is %q; write %s", name, paperNames())
	}
	return papers[i], nil
}
