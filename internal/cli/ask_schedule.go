package cli

import (
	"fmt"
	"strconv"
	"strings"

	"laywright/internal/base/si"
)

// heldForm is the shop's temperature for the time told.
func heldForm(_ string, told func(string) string) (string, error) {
	at, err := si.Parse[si.Temperature](told("shop"))
	if err != nil {
		return "", fmt.Errorf("--shop: %w", err)
	}
	span, err := spanOf("--for", told("for"))
	if err != nil {
		return "", err
	}
	c := course{}
	c.point(0, at)
	c.point(span, at)
	return c.text(), nil
}

// scheduleForm writes "24 h at 20 degC, 4 h to 60 degC, 8 h at 60 degC" as a curve:
// "at" holds, "to" goes there steadily.
func scheduleForm(text string, told func(string) string) (string, error) {
	shop, err := si.Parse[si.Temperature](told("shop"))
	if err != nil {
		return "", fmt.Errorf("--shop: %w", err)
	}
	c, now, last := course{}, si.Time(0), shop
	for _, part := range strings.Split(text, ",") {
		span, level, holds, err := stretch(part)
		if err != nil {
			return "", err
		}
		if holds {
			last = level
		}
		c.point(now, last)
		now, last = now+span, level
		c.point(now, last)
	}
	return c.text(), nil
}

// stretch reads "8 h at 60 degC" or "4 h to 60 degC".
func stretch(part string) (span si.Time, level si.Temperature, holds bool, err error) {
	long, at, holds := strings.Cut(part, " at ")
	if !holds {
		var rises bool
		if long, at, rises = strings.Cut(part, " to "); !rises {
			return 0, 0, false, fmt.Errorf("--schedule: %q is no step; write 24 h at 20 degC, 4 h to 60 degC, 8 h at 60 degC", strings.TrimSpace(part))
		}
	}
	if level, err = si.Parse[si.Temperature](strings.TrimSpace(at)); err != nil {
		return 0, 0, false, fmt.Errorf("--schedule: %q: %w", strings.TrimSpace(part), err)
	}
	span, err = spanOf("--schedule", strings.TrimSpace(long))
	return span, level, holds, err
}

func spanOf(flag, text string) (si.Time, error) {
	span, err := si.Parse[si.Time](text)
	switch {
	case err != nil:
		return 0, fmt.Errorf("%s: %w", flag, err)
	case !(span > 0):
		return 0, fmt.Errorf("%s: is %s; it must be more than 0", flag, text)
	}
	return span, nil
}

// course gathers points of a temperature over time.
type course struct{ points []string }

func (c *course) point(at si.Time, t si.Temperature) {
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', 10, 64) }
	p := "[" + number(si.In(at, "h")) + ", " + number(t.Celsius()) + "]"
	if n := len(c.points); n == 0 || c.points[n-1] != p {
		c.points = append(c.points, p)
	}
}

func (c course) text() string {
	return "{unit: [h, degC], points: [" + strings.Join(c.points, ", ") + "]}"
}
