package tracefile

import (
	"bytes"
	"errors"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the golden sentences anew")

// What each synthetic file of testdata tells in its own way: readings of a part,
// and of the air in most, five minutes apart.
var (
	truePart = []float64{21, 21.5, 24, 30, 38, 45, 50, 54, 57, 59, 60, 60, 60}
	trueAir  = []float64{22, 30, 40, 50, 58, 62, 63, 62.5, 62, 62, 61.5, 61.5, 61.5}
)

func layouts(t *testing.T) []string {
	t.Helper()
	names, err := filepath.Glob("testdata/[0-9]*-*.[ct][sx][vt]")
	if err != nil || len(names) < 20 {
		t.Fatal(err, len(names))
	}
	return names
}

func readFile(t *testing.T, name string) (Log, error) {
	t.Helper()
	source, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return Read(bytes.NewReader(source), Asked{})
}

// Every layout gives the same readings.
func TestEveryLayoutGivesTheSameReadings(t *testing.T) {
	for _, name := range layouts(t) {
		log, err := readFile(t, name)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for i, want := range truePart {
			same(t, name, log, 0, 300*float64(i), want)
			if len(log.Channels) > 1 {
				same(t, name, log, 1, 300*float64(i), trueAir[i])
			}
		}
	}
}

// same looks for a reading at a time: within the jitter of 2 s and the rounding of
// a tenth of a degF. One that the file leaves out is not looked for.
func same(t *testing.T, name string, log Log, channel int, at, want float64) {
	t.Helper()
	for i, x := range log.Times {
		if math.Abs(x-at) > 2.1 {
			continue
		}
		if got := log.Channels[channel].Values[i] - 273.15; math.Abs(got-want) > 0.03 && !math.IsNaN(got) && got > -200 {
			t.Errorf("%s: %s at %.0f s: %.2f degC, want %.2f", name, log.Channels[channel].Name, at, got, want)
		}
		return
	}
	if at < log.Times[len(log.Times)-1] { // one layout ends a row before the hour
		t.Errorf("%s: no reading at %.0f s", name, at)
	}
}

// What was guessed is told in sentences.
func TestUnchangedSentences(t *testing.T) {
	var b strings.Builder
	for _, name := range layouts(t) {
		log, err := readFile(t, name)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		b.WriteString(filepath.Base(name) + "\n")
		for _, s := range log.Read {
			mark := "  "
			for _, d := range log.Doubts {
				if d == s {
					mark = "? "
				}
			}
			b.WriteString(mark + s + "\n")
		}
	}
	const golden = "testdata/sentences.golden"
	if *update {
		if err := os.WriteFile(golden, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil || string(want) != b.String() {
		t.Errorf("sentences differ from %s (%v); read them and run with -update", golden, err)
	}
}

// What can't be read says where, and what to write.
func TestRefusals(t *testing.T) {
	for text, want := range map[string]struct {
		line int
		word string
	}{
		"":                                                  {0, "no row of a time"},
		"hello\nworld\n":                                    {0, "no row of a time"},
		"min,degC\n0,20\n":                                  {0, "two or more"},
		"min,degC\n0,20\n5,warm\n10,21\n":                   {3, `"warm" is no number`},
		"min,degC\n0,20\n10,21\n5,22\n":                     {4, "goes back in time by 300 s"},
		"min,degC\n0,20\nsoon,21\n10,22\n":                  {3, `"soon" is no time`},
		"t,T\n0,20,5\n1,21,5\n2,22,5\n":                     {2, "semicolons"},
		"min,degC\n0,20\n5,21\n10,22,5\n":                   {4, "semicolons"},
		"x\x00y":                                            {0, "no text file"},
		"vacuum,humidity\n20,40\n21,41\n":                   {2, "no column"},
		"time,status\n0,ok\n5,ok\n":                         {0, "no row"},
		"min,degC\n0,20\n1e300,21\n2e300,21":                {0, "the times run to"},
		"time,degC\n10:00,20\n25:99,21\n":                   {3, "no time"},
		"min,degC\n0,20\n" + strings.Repeat("9", maxLine+1): {3, "longer"},
	} {
		_, err := Read(strings.NewReader(text), Asked{})
		var e *Error
		if !errors.As(err, &e) || e.Line != want.line || !strings.Contains(e.Error(), want.word) || e.Do == "" {
			t.Errorf("%.40q: %v, want line %d and %q", text, err, want.line, want.word)
		}
	}
}

// A person's own word stands over every guess.
func TestAskedUnits(t *testing.T) {
	log, err := Read(strings.NewReader("min,degC\n0,68\n30,140\n"), Asked{Temperature: "degF", Time: "s"})
	if err != nil {
		t.Fatal(err)
	}
	if log.Times[1] != 30 || math.Abs(log.Channels[0].Values[1]-333.15) > 1e-9 {
		t.Errorf("%v s, %v K", log.Times[1], log.Channels[0].Values[1])
	}
}

// Times by the numbers alone are told as doubtful.
func TestGuessesAreDoubts(t *testing.T) {
	for _, c := range []struct {
		step, rows, size float64
	}{{60, 600, 1}, {30, 700, 1}, {1, 600, 60}, {5, 100, 60}, {0.0166667, 600, 3600}, {600, 100, 1}} {
		var b strings.Builder
		for i := range int(c.rows) {
			b.WriteString(trimmed(c.step*float64(i)) + ";" + trimmed(70+0.01*float64(i)) + "\n")
		}
		log, err := Read(strings.NewReader(b.String()), Asked{})
		if err != nil {
			t.Fatal(err)
		}
		if got, want := log.Times[1], c.step*c.size; math.Abs(got/want-1) > 0.02 {
			t.Errorf("steps of %g: %g s, want %g", c.step, got, want)
		}
		if len(log.Doubts) != 2 || math.Abs(log.Channels[0].Values[0]-294.26) > 0.01 {
			t.Errorf("steps of %g: doubts %q", c.step, log.Doubts)
		}
	}
}

func FuzzRead(f *testing.F) {
	names, _ := filepath.Glob("testdata/[0-9]*")
	for _, name := range names {
		source, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(source)
	}
	f.Fuzz(func(t *testing.T, source []byte) {
		log, err := Read(bytes.NewReader(source), Asked{})
		if err != nil {
			return
		}
		if len(log.Times) < 2 || len(log.Channels) == 0 {
			t.Fatal("an empty log")
		}
		for i, x := range log.Times {
			if x-x != 0 || i > 0 && !(x > log.Times[i-1]) {
				t.Fatalf("time %d is %v", i, x)
			}
		}
		for _, c := range log.Channels {
			if len(c.Values) != len(log.Times) || c.Name == "" {
				t.Fatal("a channel of another length")
			}
		}
	})
}
