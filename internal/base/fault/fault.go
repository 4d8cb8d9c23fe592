// Package fault holds the ways a calculation refuses and warns: an error says
// that there is no answer, a [Finding] that there is one, but mind this.
package fault

import (
	"fmt"
	"strconv"
)

// Range reports an input outside what the calculation can answer for.
type Range struct {
	Field    string  // path in the job file: "laminate.fibre_fraction"
	Value    float64 // as the person gave it, in Unit
	Min, Max float64
	Unit     string // with a leading space, or empty for a pure number
	Why      string // what sets the limit
}

func (e *Range) Error() string {
	return fmt.Sprintf("%s is %.4g%s; it must be %.4g to %.4g%s (%s)",
		e.Field, e.Value, e.Unit, e.Min, e.Max, e.Unit, e.Why)
}

// Input reports an input that can't be used and what to write instead.
type Input struct {
	Field string // path in the job file: "laminate.stack[2].fabric"
	What  string // what is wrong
	Do    string // what to write or do instead
}

func (e *Input) Error() string {
	if e.Do == "" {
		return e.Field + ": " + e.What
	}
	return e.Field + ": " + e.What + "; " + e.Do
}

// NoSolution reports an iteration that did not converge.
type NoSolution struct {
	What     string // what was sought
	Steps    int
	Residual float64
	Limit    float64 // the tolerance that the residual missed
	Do       string  // what the person may change
}

func (e *NoSolution) Error() string {
	return fmt.Sprintf("%s: not found in %d steps (residual %.3g, limit %.3g); %s",
		e.What, e.Steps, e.Residual, e.Limit, e.Do)
}

// Check returns a [Range] where x is not from low to high. NaN fails.
func Check(field string, x, low, high float64, unit, why string) error {
	if low <= x && x <= high {
		return nil
	}
	return &Range{Field: field, Value: x, Min: low, Max: high, Unit: unit, Why: why}
}

// Severity is how bad a finding is.
type Severity string

// Stop: the part must not be made so. Caution: it may go wrong. Note: good to know.
const (
	Stop    Severity = "stop"
	Caution Severity = "caution"
	Note    Severity = "note"
)

// Finding is a problem or a remark that a plan carries.
type Finding struct {
	Stage    string   `json:"stage"`
	Severity Severity `json:"severity"`
	Code     string   `json:"code"`            // stable kebab-case words
	What     string   `json:"what"`            // one sentence for the bench
	Why      string   `json:"why"`             // the reason
	Value    *float64 `json:"value,omitempty"` // the number, in Unit
	Limit    *float64 `json:"limit,omitempty"` // what it is held against, in Unit
	Unit     string   `json:"unit,omitempty"`
	Do       string   `json:"do"` // what to do about it
}

// Against returns the finding with its number and limit set.
func (f Finding) Against(value, limit float64, unit string) Finding {
	f.Value, f.Limit, f.Unit = &value, &limit, unit
	return f
}

// Count words a number of things: "1 slit", "2 slits".
func Count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// Numbered names the i-th item of a list in a field path: "stack[2]".
func Numbered(list string, i int) string { return list + "[" + strconv.Itoa(i) + "]" }
