package material

import (
	"strings"

	"go.yaml.in/yaml/v4"
	"laywright/internal/base/bind"
)

// Class is what family of hardener cures a resin: what its data sheet leaves out
// is taken from there.
type Class string

// The classes known here.
const (
	Unclassed      Class = ""
	AliphaticAmine Class = "aliphatic-amine"      // quick at room temperature
	Cycloaliphatic Class = "cycloaliphatic-amine" // slow at room temperature, post-cured
	Polyetheramine Class = "polyetheramine"       // slow, thin, tough
	Anhydride      Class = "anhydride"            // cures hot only
)

var classes = []Class{AliphaticAmine, Cycloaliphatic, Polyetheramine, Anhydride}

// Bind reads one of the classes' names.
func (c *Class) Bind(b *bind.Binder, path string, n *yaml.Node) {
	var names []string
	for _, x := range classes {
		if names = append(names, string(x)); n.Value == string(x) {
			*c = x
			return
		}
	}
	b.Fail(path, n, "class is %q; write %s, or leave it out", n.Value, strings.Join(names, ", "))
}

// Forms are the classes' names.
func (Class) Forms() (out []any) {
	for _, x := range classes {
		out = append(out, string(x))
	}
	return out
}
