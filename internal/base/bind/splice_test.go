package bind

import (
	"strings"
	"testing"
)

const spliced = `# the box
laywright: 1
shop: {temperature: "61 degF ± 4 degF", note: 'it''s cold'}  # by the window
laminate:
  # three plies
  stack:
    - {fabric: carbon-twill-200, angle: "0 deg"}
    - {fabric: carbon-twill-200, angle: "45 deg"}   # on the bias
`

// Changing a value leaves every other byte alone.
func TestSpliceKeepsTheRest(t *testing.T) {
	for _, c := range []struct{ path, text, old string }{
		{"shop.temperature", `"18 degC"`, `"61 degF ± 4 degF"`},
		{"shop.note", `warm`, `'it''s cold'`},
		{"laminate.stack[1].angle", `"30 deg"`, `"45 deg"`},
		{"laminate.stack[0].fabric", `glass-satin-300`, `carbon-twill-200`},
		{"laywright", "2", "1"},
	} {
		got, err := Splice([]byte(spliced), c.path, c.text)
		if err != nil {
			t.Errorf("%s: %v", c.path, err)
			continue
		}
		if want := strings.Replace(spliced, c.old, c.text, 1); string(got) != want {
			t.Errorf("%s gives\n%s", c.path, got)
		}
	}
}

func TestSpliceRefuses(t *testing.T) {
	for _, c := range []struct{ path, text string }{
		{"shop.humidity", "1"},       // not there
		{"laminate.stack", "[]"},     // not on one line
		{"shop.note", `"a", b: "c"`}, // would add a key
		{"shop.note", `"open`},       // would spoil the file
	} {
		if got, err := Splice([]byte(spliced), c.path, c.text); err == nil {
			t.Errorf("%s took %q:\n%s", c.path, c.text, got)
		}
	}
}
