package cli

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"laywright/internal/base/si"
	"laywright/internal/doc/answer"
	"laywright/internal/job"
)

// run is a command as a person types it.
func run(t *testing.T, args ...string) (out, told string, status int) {
	t.Helper()
	var o, e bytes.Buffer
	status = Run(context.Background(), args, strings.NewReader(""), &o, &e)
	return o.String(), e.String(), status
}

// Whatever is asked, the answer is a screen: it has no more than its lines and
// columns, and no number that is none.
func TestAnswersAreOneScreen(t *testing.T) {
	var asks [][]string
	for _, shop := range []string{"-5 degC", "12 degC", "104 degF", "60 degC"} {
		for _, resin := range []string{"laminating-epoxy-fast", "high-temperature-epoxy"} {
			at := []string{"--shop", shop, "--resin", resin}
			asks = append(asks,
				append([]string{"resin", "--area", "0.02 m^2", "--cloth", "glass-fine-48"}, at...),
				append([]string{"cups", "--mass", "5 kg"}, at...),
				append([]string{"cups", "--area", "40 ft^2", "--cloth", "4xcarbon-twill-200, 2xglass-twill-290@45, aramid-plain-170"}, at...),
				append([]string{"mass", "--area", "5 in^2", "--cloth", "100xcarbon-plain-193, glass-light-105, carbon-ud-300, carbon-spread-80"}, at...),
				append([]string{"gel", "--for", "100 d"}, at...),
				append([]string{"demould", "--schedule", "1 h at 20 degC, 1 h to 90 degC, 1 min at 90 degC", "--service", "300 degF"}, at...),
				append([]string{"hot", "--service", "-40 degC", "--consequence", strings.Repeat("everything burns ", 12)}, at...))
		}
	}
	asks = append(asks, []string{"vacuum", "--vacuum", "0.1 Pa", "--elevation", "19000 ft"}, []string{"vacuum", "--vacuum", "15 psi", "--barometer", "15 inHg", "--shop", "40 degC", "--humidity", "100 %"},
		[]string{"heat", "--ua", "0.01 W/K", "--liquid", "240 degF", "--air", "-60 degF", "--flow", "0.1 g/s", "--passes", "6"})
	odd := regexp.MustCompile(`NaN|Inf|%!|<nil>`)
	for _, args := range asks {
		out, told, status := run(t, append([]string{"ask"}, args...)...)
		what := strings.Join(args, " ")
		if status != exitDone {
			t.Errorf("%s: status %d: %s", what, status, told)
			continue
		}
		lines := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
		if len(lines) > answer.Lines || odd.MatchString(out) || !strings.Contains(out, "MIND") && !strings.Contains(out, "CAUTION") {
			t.Errorf("%s: %d lines\n%s", what, len(lines), out)
		}
		for _, l := range lines {
			if utf8.RuneCountInString(l) > answer.Wide {
				t.Errorf("%s: too wide: %s", what, l)
			}
		}
	}
}

// Nothing that can be typed after a flag breaks the command, and what is refused
// names the flag.
func TestHostileFlags(t *testing.T) {
	texts := []string{"", " ", "0", "-1", "NaN", "NaN m^2", "Inf kg", "1e400 degC", "1e-400 m^2", "'", `"`, "\n", "a: b", "{", "# x", "\x00", "\xff", "3x", "0xa", "1x@", "@", ",,,",
		"99999999999999999999xcarbon-plain-193", "1 h at 1 degC at 2 degC", "1 h to", "at", strings.Repeat("1 h at 20 degC,", 300), "22 inHg ± 90 inHg", "auto", "null", "~", "&a", "*a", "1 m^2\n  trim: flange"}
	for _, q := range questions {
		usual := map[string]string{}
		for _, f := range q.flags {
			if f.needed {
				usual[f.name] = f.example
			}
		}
		for _, f := range q.flags {
			for _, text := range texts {
				args := []string{"ask", q.name}
				for name, value := range usual {
					if name != f.name {
						args = append(args, "--"+name, value)
					}
				}
				_, told, status := run(t, append(args, "--"+f.name, text)...)
				if strings.Contains(told, "panic") || status != exitDone && !strings.Contains(told, "--") {
					t.Errorf("ask %s --%s %q: status %d: %s", q.name, f.name, text, status, told)
				}
			}
		}
	}
}

// A kept question is a job: it says what was taken, and its plan is the answer.
func TestKeptQuestionIsAJob(t *testing.T) {
	for _, q := range questions {
		t.Run(q.name, func(t *testing.T) {
			name := filepath.Join(t.TempDir(), "x.job.yaml")
			args := words(q.example)[1:]
			out, told, status := run(t, append(args, "--job", name)...)
			if status != exitDone || !strings.Contains(told, name) {
				t.Fatalf("status %d: %s", status, told)
			}
			source, err := os.ReadFile(name)
			if err != nil || !bytes.Contains(source, []byte("# taken: ")) {
				t.Fatalf("%v\n%s", err, source)
			}
			again, _, _ := run(t, append(args, "--job", name)...)
			if still, _ := os.ReadFile(name); again != "" || !bytes.Equal(still, source) {
				t.Error("the file that was there is written over")
			}
			if _, told, status := run(t, "plan", name, "--out", filepath.Join(t.TempDir(), "out")); status != exitDone {
				t.Errorf("the kept job does not plan: %s", told)
			}
			first := says(t, q, source)
			if got := strings.Join(strings.Fields(out), " "); !strings.HasPrefix(got, first) {
				t.Errorf("the job says\n%s\nand the answer\n%s", first, got)
			}
		})
	}
}

// says plans a question's job file and returns the first thing it says.
func says(t *testing.T, q question, source []byte) string {
	t.Helper()
	f, problems := job.Read(source)
	if len(problems) > 0 {
		t.Fatalf("%v", problems)
	}
	library, err := materials("")
	if err != nil {
		t.Fatal(err)
	}
	plan, err := job.Make(context.Background(), f, job.Inputs{Library: library})
	if err != nil {
		t.Fatal(err)
	}
	a, err := q.answer(plan)
	if err != nil {
		t.Fatal(err)
	}
	return si.Typeset(a.Says[0])
}

// words takes a command line apart, quotes away.
func words(line string) (out []string) {
	for i, part := range strings.Split(line, "'") {
		if i%2 == 1 {
			out = append(out, part)
			continue
		}
		out = append(out, strings.Fields(part)...)
	}
	return out
}

// By hand: 0.35 m² of three plies of 193 g/m² is 202.65 g of cloth, at 0.85 with
// 172.25 g of resin; a peel ply of 40 g/m² takes 14 g, and 18 % of both is lost:
// 219.8 g, of which 30 in 130 is hardener.
func TestResinByHand(t *testing.T) {
	out, _, _ := run(t, "ask", "resin", "--area", "0.35 m^2", "--cloth", "3xcarbon-plain-193")
	mix := (0.35*3*193*0.85 + 0.35*40) * 1.18
	want := fmt.Sprintf("Mix %.0f g: %.0f g of resin and %.0f g of hardener", mix, mix*100/130, mix*30/130)
	if !strings.HasPrefix(out, want) || math.Abs(mix-219.8) > 0.1 {
		t.Errorf("want %q:\n%s", want, out)
	}
}
