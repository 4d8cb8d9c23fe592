package traveller

import (
	"fmt"
	"strings"

	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/stage/mould"
)

// coatRows are the coats one by one, with the sanding that follows on them.
func coatRows(coats []mould.Coat) (rows [][]string) {
	for _, c := range coats {
		for i := range c.Coats {
			dry := c.Dry
			if i+1 == c.Coats {
				dry = max(dry, c.Last)
			}
			rows = append(rows, []string{coatName(c.What, i+1, c.Coats), amount(c), minutes(dry), "", "", draw.Tick})
		}
		if len(c.Sand) > 0 {
			rows = append(rows, []string{sanding(c), "", "", "", "", draw.Tick})
		}
	}
	return rows
}

// amount is what one of the coats takes.
func amount(c mould.Coat) string {
	n := float64(c.Coats)
	switch {
	case c.Mass != nil:
		return fmt.Sprintf("%.0f g", max(1, 1e3*float64(*c.Mass)/n))
	case c.Volume != nil:
		return fmt.Sprintf("%.0f ml", max(1, 1e6*float64(*c.Volume)/n))
	}
	return ""
}

func sanding(c mould.Coat) string {
	grits := make([]string, len(c.Sand))
	for i, g := range c.Sand {
		grits[i] = fmt.Sprint(g)
	}
	wet := ""
	if c.Wet {
		wet = "wet "
	}
	return "sand " + wet + strings.Join(grits, ", ")
}

// landWords says what stays bare, and in which air the times hold.
func (t *writer) landWords(m *mould.Result) string {
	return fmt.Sprintf("Times are for %s and %.0f %% humidity; colder or damper air takes longer. Mask a land %s to %s wide round the part before waxing: sealant tape does not hold on wax or film.",
		show(t.words, m.Air.Temperature), 100*m.Air.Humidity, length(t.words, m.LandLow), length(t.words, m.LandHigh))
}

// workWords says how long hands are at it, and that nobody knows better.
func (t *writer) workWords(m *mould.Result) string {
	out := fmt.Sprintf("Hands at work: some %s to %s h for filling, sanding and waxing, a rough range that depends on the hand.", tenths(m.WorkLow), tenths(m.WorkHigh))
	if len(m.Sanding) > 0 {
		var sheets []string
		for _, p := range m.Sanding {
			sheets = append(sheets, fmt.Sprintf("%d of %d", p.Sheets, p.Grit))
		}
		out += " Sheets of paper: " + strings.Join(sheets, ", ") + "."
	}
	return out
}

func tenths(t si.Time) string { return fmt.Sprintf("%.1f", float64(t)/3600) }
