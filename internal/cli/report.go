package cli

import (
	"fmt"
	"io"
	"os"
	"strings"

	"charm.land/lipgloss/v2"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/job"
)

func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

var severityStyle = map[fault.Severity]lipgloss.Style{
	fault.Stop:    lipgloss.NewStyle().Bold(true).Foreground(lipgloss.Color("1")),
	fault.Caution: lipgloss.NewStyle().Bold(true).Foreground(lipgloss.Color("3")),
	fault.Note:    lipgloss.NewStyle().Faint(true),
}

// showFindings writes each finding in three lines: what, why with the number
// against its limit, what to do. Notes have one line unless all is asked for.
func showFindings(w io.Writer, findings []fault.Finding, s si.System, all bool) {
	for _, f := range findings {
		word := strings.ToUpper(string(f.Severity))
		if isTerminal(w) && os.Getenv("NO_COLOR") == "" {
			word = severityStyle[f.Severity].Render(word)
		}
		fmt.Fprintf(w, "%s  %s: %s\n", word, f.Stage, f.What)
		if f.Severity == fault.Note && !all {
			continue
		}
		fmt.Fprintf(w, "      %s%s\n", f.Why, numbers(f, s))
		if f.Do != "" {
			fmt.Fprintf(w, "      Do: %s\n", f.Do)
		}
	}
}

func numbers(f fault.Finding, s si.System) string {
	show := func(x float64) string {
		x, unit := si.Localise(x, f.Unit, s)
		return strings.TrimRight(fmt.Sprintf("%.4g %s", x, unit), " ")
	}
	switch {
	case f.Value != nil && f.Limit != nil:
		return fmt.Sprintf(" (%s against %s)", show(*f.Value), show(*f.Limit))
	case f.Value != nil:
		return fmt.Sprintf(" (%s)", show(*f.Value))
	}
	return ""
}

// summary says where things lie and the few numbers a builder looks for first.
func summary(w io.Writer, dir string, plan job.Plan) error {
	counts := map[fault.Severity]int{}
	for _, f := range plan.Findings {
		counts[f.Severity]++
	}
	var b strings.Builder
	for _, line := range plan.Headlines() {
		fmt.Fprintf(&b, "%-22s %s\n", line.Name, line.Text)
	}
	for _, s := range plan.Stages {
		if !s.Ran && len(s.Missing) > 0 {
			fmt.Fprintf(&b, "%-22s left out; it lacks %s\n", s.Name, strings.Join(s.Missing, ", "))
		}
	}
	fmt.Fprintf(&b, "findings               %d stop, %d caution, %d note\n", counts[fault.Stop], counts[fault.Caution], counts[fault.Note])
	fmt.Fprintf(&b, "plan                   %s/plan.json\n", dir)
	built := plan.Mould != nil && plan.Mould.Build != nil
	if plan.Plies != nil || built {
		fmt.Fprintf(&b, "patterns, full size    %s/patterns/\n", dir)
	}
	fmt.Fprintf(&b, "documents              %s/documents/traveller.pdf, %s/documents/plan.pdf\n", dir, dir)
	if plan.Roll != nil && len(plan.Roll.Rolls) > 0 {
		fmt.Fprintf(&b, "at the cutting table   %s/documents/cutting.pdf, %s/documents/labels.pdf\n", dir, dir)
	}
	if built {
		fmt.Fprintf(&b, "to build the mould     %s/documents/mould.pdf\n", dir)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
