package dxfread

import (
	"strings"
	"testing"
)

// triangle is a file written by hand, in an order that our writer does not use:
// a triangle with the legs 4 and 3. Each "code value" becomes two lines.
const triangle = "0 SECTION|2 HEADER|9 $ACADVER|1 AC1009|9 $INSUNITS|70 4|0 ENDSEC|0 SECTION|2 ENTITIES|" +
	"0 POLYLINE|8 cut|66 1|70 1|0 VERTEX|8 cut|10 0.0|20 0.0|0 VERTEX|" +
	"8 cut|20 0.0|10 4.0|0 VERTEX|8 cut|10 4.0|20 3.0|0 SEQEND|0 ENDSEC|" +
	"0 EOF"

func file(s string) string { return strings.NewReplacer("|", "\n", " ", "\n").Replace(s) + "\n" }

func TestReadsAHandWrittenFile(t *testing.T) {
	d, err := Read(strings.NewReader(file(triangle)))
	if err != nil {
		t.Fatal(err)
	}
	cut := d.On("cut")
	if len(cut) != 1 || !cut[0].Closed || cut[0].Area() != 6 || d.Units != 4 || d.Version != "AC1009" {
		t.Errorf("read %+v", d)
	}
}

func TestRefusesWhatItDoesNotKnow(t *testing.T) {
	for name, s := range map[string]string{
		"bulge":        strings.Replace(triangle, "10 4.0", "10 4.0|42 0.5", 1),
		"spline":       strings.Replace(triangle, "POLYLINE", "SPLINE", 1),
		"cut short":    strings.TrimSuffix(triangle, " EOF"),
		"not a number": strings.Replace(triangle, "4.0", "four", 1),
		"not a code":   "x" + triangle,
		"eight bits":   strings.Replace(triangle, "cut", "µ", 1),
	} {
		if _, err := Read(strings.NewReader(file(s))); err == nil {
			t.Errorf("%s: read", name)
		}
	}
}
