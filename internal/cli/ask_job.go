package cli

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"laywright/internal/base/si"
	"laywright/internal/doc/answer"
)

// line is a value of the job file that a question becomes.
type line struct {
	key, value, remark string
	form               form // makes the value; nil: it stands there
}

// form writes what was told as a value of the job file, where that is more than
// the text in quotes. An empty value leaves the line out.
type form func(text string, told func(name string) string) (string, error)

// jobFile writes the question's job. A flag whose text can't be written there is a problem.
func (q question) jobFile(told map[string]string, system si.System) (source []byte, problems []string) {
	text := func(name string) string {
		if t, there := told[name]; there {
			return t
		}
		f, _ := q.flag(name)
		return f.usual
	}
	root := &branch{}
	root.put("laywright", "1", "")
	root.put("show", string(system), "")
	for _, l := range q.lines(told, text) {
		value, err := l.value, error(nil)
		if l.form != nil {
			value, err = l.form(l.value, text)
		}
		if err != nil {
			problems = append(problems, err.Error())
		}
		if value != "" {
			root.put(l.key, value, l.remark)
		}
	}
	if len(problems) > 0 {
		return nil, problems
	}
	var b strings.Builder
	fmt.Fprintf(&b, "# %s\n# Asked by: %s\n# The plan of this job is the answer. Add sections for a whole part: laywright new shows them all.\n", q.short, q.command(told))
	root.write(&b, 0)
	return []byte(b.String()), nil
}

// lines are what is told and what is taken, then what the question holds in any case.
func (q question) lines(told map[string]string, text func(string) string) (out []line) {
	for _, f := range q.flags {
		if !q.stands(f, told) {
			continue
		}
		l := line{key: f.place(told), value: text(f.name), form: f.form}
		if f.form == nil {
			l.value = strconv.Quote(l.value)
		}
		if _, said := told[f.name]; !said {
			l.remark = "taken: " + f.why
		}
		out = append(out, l)
		if _, there := told[f.with]; f.also != "" && (there || f.with == "") {
			out = append(out, line{key: f.also, value: l.value})
		}
	}
	return append(out, q.fixed...)
}

// taken lists what was taken where nothing was told.
func (q question) taken(told map[string]string) (out []answer.Taken) {
	for _, f := range q.flags {
		if _, said := told[f.name]; !said && q.stands(f, told) {
			out = append(out, answer.Taken{Word: "--" + f.name, Text: shellQuote(f.usual), Why: f.why})
		}
	}
	return out
}

// command is the command line that asked.
func (q question) command(told map[string]string) string {
	text := "laywright ask " + q.name
	for _, f := range q.flags {
		if t, there := told[f.name]; there {
			text += " --" + f.name + " " + shellQuote(t)
		}
	}
	return text
}

// shellQuote writes a text as one word of a shell, on one line.
func shellQuote(text string) string {
	plain := func(r rune) bool {
		return unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("-_.,/+", r)
	}
	switch {
	case strings.ContainsFunc(text, func(r rune) bool { return !unicode.IsPrint(r) }):
		return strconv.Quote(text)
	case text != "" && !strings.ContainsFunc(text, func(r rune) bool { return !plain(r) }):
		return text
	}
	return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'"
}

// branch is a key of the job file with what stands under it, in the order it was put.
type branch struct {
	key, value, remark string
	kids               []*branch
}

// put sets the value at a path. A value that is there already stays.
func (b *branch) put(path, value, remark string) {
	key, rest, deeper := strings.Cut(path, ".")
	var kid *branch
	for _, k := range b.kids {
		if k.key == key {
			kid = k
		}
	}
	if kid == nil {
		kid = &branch{key: key}
		b.kids = append(b.kids, kid)
	}
	switch {
	case deeper:
		kid.put(rest, value, remark)
	case kid.value == "":
		kid.value, kid.remark = value, remark
	}
}

func (b *branch) write(out *strings.Builder, depth int) {
	for _, k := range b.kids {
		fmt.Fprintf(out, "%s%s:", strings.Repeat("  ", depth), k.key)
		if k.value != "" {
			out.WriteString(" " + k.value)
		}
		if k.remark != "" {
			out.WriteString("   # " + k.remark)
		}
		out.WriteByte('\n')
		k.write(out, depth+1)
	}
}

// passesForm leaves the number bare.
func passesForm(text string, _ func(string) string) (string, error) {
	if strings.TrimSpace(text) == "auto" {
		return "auto", nil
	}
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil {
		return "", fmt.Errorf("--passes: must be a whole number or auto, not %q", text)
	}
	return strconv.Itoa(n), nil
}

var plyText = regexp.MustCompile(`^\s*(?:(\d+)\s*[x×*]\s*)?([^\s@]+)\s*(?:@\s*(.+?)\s*)?$`)

// mostPlies bounds what one flag may ask for.
const mostPlies = 100

// stackForm writes "2xcarbon-twill-200@45, glass-light-105" as a stack.
func stackForm(text string, _ func(string) string) (string, error) {
	var plies []string
	for _, part := range strings.Split(text, ",") {
		m := plyText.FindStringSubmatch(part)
		if m == nil {
			return "", fmt.Errorf("--cloth: %q is no cloth; write 3xcarbon-plain-193, or 2xcarbon-twill-200@45, glass-light-105", strings.TrimSpace(part))
		}
		count := 1
		if m[1] != "" {
			var err error
			if count, err = strconv.Atoi(m[1]); err != nil || count < 1 || count > mostPlies {
				return "", fmt.Errorf("--cloth: %s plies of %s; write 1 to %d", m[1], m[2], mostPlies)
			}
		}
		ply := "{fabric: " + strconv.Quote(m[2])
		if m[3] != "" {
			angle := m[3]
			if _, err := strconv.ParseFloat(angle, 64); err == nil {
				angle += " deg"
			}
			ply += ", angle: " + strconv.Quote(angle)
		}
		for range count {
			plies = append(plies, ply+"}")
		}
	}
	return "[" + strings.Join(plies, ", ") + "]", nil
}
