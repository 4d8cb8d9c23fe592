// Package tracefile reads what a temperature logger wrote: text in rows, a time
// and one or more temperatures in each, in whatever layout the logger has.
//
// It finds the separator, the decimal mark, the headings, the columns of time,
// the units and the names of the probes, and says in plain sentences what it
// took for what. Times come out in seconds from the logger's own zero, or from
// the first row where rows carry a clock; temperatures in kelvin, NaN where a
// cell holds no reading. It doesn't judge readings: an open thermocouple's
// 1372 degC comes out as it stands.
package tracefile

import (
	"fmt"
	"io"
)

// Bounds of a file: a probe read each second for a week.
const (
	maxBytes   = 64 << 20
	maxRows    = 700_000
	maxColumns = 64
	maxLine    = 16 << 10
)

// Asked is what a person wrote about the file; empty: to be found out.
type Asked struct {
	Temperature string // unit of the temperatures: degC, degF or K
	Time        string // unit of the times: ms, s, min, h or d
}

// Log is what a file holds.
type Log struct {
	Times    []float64 // s, rising
	Channels []Channel
	Clock    bool     // times are of a clock, counted from the first row
	Read     []string // what was taken for what, a sentence each
	Doubts   []string // of these, what only the numbers speak for
}

// Channel is one column of temperatures.
type Channel struct {
	Name   string
	Values []float64 // K; NaN: no reading
}

// Error says what is wrong with a file, where, and what to do.
type Error struct {
	Line int // from 1; 0: the whole file
	What string
	Do   string
}

func (e *Error) Error() string {
	text := e.What
	if e.Line > 0 {
		text = fmt.Sprintf("line %d: %s", e.Line, e.What)
	}
	if e.Do != "" {
		text += "; " + e.Do
	}
	return text
}

func refuse(line int, do, format string, a ...any) error {
	return &Error{Line: line, What: fmt.Sprintf(format, a...), Do: do}
}

// Read reads a log. Errors are of type [Error], or the reader's.
func Read(r io.Reader, asked Asked) (Log, error) {
	source, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		return Log{}, err
	}
	if len(source) > maxBytes {
		return Log{}, refuse(0, "log less often, or cut the file", "the file is larger than %d MB", maxBytes>>20)
	}
	text, err := decode(source)
	if err != nil {
		return Log{}, err
	}
	t := &table{asked: asked}
	for _, step := range []func() error{func() error { return t.split(text) }, t.findTime, t.findTemperatures, t.read} {
		if err := step(); err != nil {
			return Log{}, err
		}
	}
	return t.log, nil
}

// say notes what was taken for what.
func (t *table) say(format string, a ...any) {
	t.log.Read = append(t.log.Read, fmt.Sprintf(format, a...))
}

// doubt notes what only the numbers speak for.
func (t *table) doubt(format string, a ...any) {
	t.say(format, a...)
	t.log.Doubts = append(t.log.Doubts, t.log.Read[len(t.log.Read)-1])
}
