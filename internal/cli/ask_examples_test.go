package cli

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write examples/questions and their answers in README anew")

// builders are the questions that people bring, each with the command that answers it.
var builders = []struct{ file, words, command string }{
	{"how-much-resin", "How much resin?", "ask resin --area '3.8 ft^2' --cloth 3xcarbon-plain-193"},
	{"how-many-pots", "How many pots?", "ask cups --area '3.8 ft^2' --cloth 3xcarbon-plain-193 --shop '68 degF'"},
	{"big-cup", "Will a 300 g cup smoke?", "ask cups --mass '300 g' --shop '27 degC'"},
	{"what-weight", "What will it weigh?", "ask mass --area '3.8 ft^2' --cloth 3xcarbon-plain-193"},
	{"vacuum-on-a-hill", "What does 22 inHg mean at 5000 ft?", "ask vacuum --vacuum '22 inHg' --elevation '5000 ft' --shop '61 degF'"},
	{"cold-night", "Is 12 °C tonight enough?", "ask gel --shop '12 degC' --for '12 h'"},
	{"out-tonight", "May I take it out of the mould tonight?", "ask demould --shop '20 degC' --for '24 h'"},
	{"under-the-cowl", "Will it survive 93 °C under the cowl?", "ask hot --service '93 degC' --consequence 'smoke in the cabin'"},
	{"warm-air", "How warm will the heater's air be?", "ask heat --width '9.5 in' --height '6 in' --depth '2 in' --liquid '185 degF' --air '14 degF' --flow '8 lb/min' --passes 2"},
}

// The answers in README are those of the example files, and those are what the
// commands beside them keep. -update writes both.
func TestReadmeAnswers(t *testing.T) {
	const begin, end = "<!-- answers: go test ./internal/cli -run ReadmeAnswers -update -->\n", "<!-- end of answers -->"
	var list strings.Builder
	for _, b := range builders {
		args := words(b.command)
		q, told := asked(t, args[1:])
		system, err := unitsOf("", told)
		if err != nil {
			t.Fatal(err)
		}
		source, problems := q.jobFile(told, system)
		if len(problems) > 0 {
			t.Fatalf("%s: %v", b.file, problems)
		}
		path := "examples/questions/" + b.file + ".job.yaml"
		same(t, filepath.Join("../..", path), source)
		fmt.Fprintf(&list, "- [%s](%s) `laywright %s`\n  %s\n", b.words, path, b.command, says(t, q, source))
	}
	readme := "../../README.md"
	text, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	head, rest, _ := bytes.Cut(text, []byte(begin))
	_, tail, found := bytes.Cut(rest, []byte(end))
	if !found {
		t.Fatalf("README has no place for the answers: %s", begin)
	}
	same(t, readme, []byte(string(head)+begin+list.String()+end+string(tail)))
}

// asked takes a question and its flags apart.
func asked(t *testing.T, args []string) (question, map[string]string) {
	t.Helper()
	told := map[string]string{}
	for i := 1; i+1 < len(args); i += 2 {
		told[strings.TrimPrefix(args[i], "--")] = args[i+1]
	}
	for _, q := range questions {
		if q.name == args[0] {
			return q, told
		}
	}
	t.Fatalf("no question is called %s", args[0])
	return question{}, nil
}

// same holds a file against what it should be, or writes it.
func same(t *testing.T, name string, want []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(name, want, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	got, err := os.ReadFile(name)
	if err != nil || !bytes.Equal(got, want) {
		t.Errorf("%s is not what its question gives (%v); make generate writes it", name, err)
	}
}
