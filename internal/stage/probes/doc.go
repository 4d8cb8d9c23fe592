// Package probes makes broken lines of temperature out of what a logger's probes
// read: readings that no probe can have are dropped, gaps are found, and what is
// left is thinned within a stated error.
//
// Bare float64: times in seconds on the log's own clock, temperatures in kelvin.
// It doesn't know resin, and doesn't find out a probe that fell off its place.
package probes

import (
	"slices"
	"strings"
)

// Role is what a probe is on.
type Role string

// The roles. A probe that is left out is shown and not used.
const (
	Part  Role = "part"
	Mould Role = "mould"
	Air   Role = "air"
	Bag   Role = "bag"
	Out   Role = "left-out"
)

// Roles lists them as a job file may write them.
func Roles() []Role { return []Role{Part, Mould, Air, Bag, Out} }

// Log is what a logger wrote.
type Log struct {
	File     string
	Times    []float64 // s, rising
	Channels []Channel
	Read     []string // what was taken for what in the file, a sentence each
	Doubts   []string // of these, what only the numbers speak for
}

// Channel is one probe's readings, NaN where it has none.
type Channel struct {
	Name   string
	Values []float64 // K
}

// Gap is a time without readings that is too long for a straight line.
type Gap struct{ From, To float64 }

// Probe is one channel made clean.
type Probe struct {
	Name            string
	Role            Role
	X, Y            []float64 // the broken line
	Lowest, Highest float64
	HighestAt       float64
	Spikes          int // readings dropped that leapt and came back
	Open            int // readings that are no temperature of a cure
	Gaps            []Gap
	Bad             string // why it can't be used; empty: it can
}

// words of headings that say what a probe is on.
var roleWords = []struct {
	role  Role
	words []string
}{
	{Out, []string{"ambient", "room", "shop", "outside", "outdoor", "internal", "cold junction", "reference", "setpoint", "raum", "aussen"}},
	{Air, []string{"air", "oven", "chamber", "cabinet", "heater", "lamp", "luft", "ofen", "kammer"}},
	{Bag, []string{"bag", "film", "folie", "beutel"}},
	{Mould, []string{"mould", "mold", "tool", "plug", "form"}},
}

// RoleOf guesses from its name what a probe is on; part where nothing speaks.
func RoleOf(name string) Role {
	low := " " + strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r > 127)
	}), " ") + " "
	for _, r := range roleWords {
		if slices.ContainsFunc(r.words, func(w string) bool { return strings.Contains(low, " "+w+" ") }) {
			return r.role
		}
	}
	return Part
}

// longGap and its share bound what a straight line may bridge: a quarter of an
// hour, in which a part on its mould moves a few kelvin (judgement), and three
// usual steps of a slow logger.
const (
	longGap   = 900.0 // s
	gapInStep = 3
)

// Coldest and hottest that a reading of a cure may be, K; outside it the probe is
// open or shorted.
const (
	coldestReading = 273.15 - 40
	hottestReading = 273.15 + 350
)

// Thinned is the most by which the broken line leaves the readings, K.
const Thinned = 0.05

// Clean makes broken lines of a log's channels, until no later than end (s).
func Clean(log Log, end float64) []Probe {
	n := len(log.Times)
	for n > 0 && log.Times[n-1] > end {
		n--
	}
	times := log.Times[:n]
	gap := max(longGap, gapInStep*usualStep(times))
	out := make([]Probe, len(log.Channels))
	moves := 0.0
	for i, c := range log.Channels {
		out[i] = clean(c, times, gap)
		if out[i].Bad == "" {
			moves = max(moves, out[i].Highest-out[i].Lowest)
		}
	}
	const stuck = 10 // K that others move while one shows the same figures throughout
	for i := range out {
		if out[i].Bad == "" && out[i].Lowest == out[i].Highest && moves > stuck {
			out[i].Bad = "shows the same figures throughout, while others move"
		}
	}
	return out
}

func usualStep(times []float64) float64 {
	if len(times) < 2 {
		return 0
	}
	steps := make([]float64, len(times)-1)
	for i := range steps {
		steps[i] = times[i+1] - times[i]
	}
	slices.Sort(steps)
	return steps[len(steps)/2]
}
