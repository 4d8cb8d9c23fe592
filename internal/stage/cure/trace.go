package cure

import (
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
	"laywright/internal/base/bind"
	"laywright/internal/base/si"
	"laywright/internal/stage/probes"
)

// Trace is the key `cure.trace`: a logger's file, and what a person knows of it.
type Trace struct {
	File   string                 `yaml:"file"`
	Unit   string                 `yaml:"unit"`   // of the temperatures; empty: found out
	Time   string                 `yaml:"time"`   // unit of the times; empty: found out
	Starts bind.Auto[si.Time]     `yaml:"starts"` // the log's time 0, from the first mixing
	Probes map[string]probes.Role `yaml:"probes"` // what each is on; not named: by its heading
	Now    bind.Auto[si.Time]     `yaml:"now"`    // on the log's clock; readings after it don't count
}

// traceFile is a trace written as its file's name alone.
type traceFile string

// traceForm is a trace as it is written with keys.
type traceForm Trace

// Forms are a file's name, and keys.
func (Trace) Forms() []any { return []any{traceFile(""), traceForm{}} }

// Bind reads probe.csv or {file: probe.csv, unit: degF, starts: "20 min", probes: {TC1: part}}.
func (t *Trace) Bind(b *bind.Binder, path string, n *yaml.Node) {
	if n.Kind == yaml.ScalarNode {
		b.Into(&t.File, path, n)
		return
	}
	before := len(b.Problems)
	b.Into((*traceForm)(t), path, n)
	if len(b.Problems) > before {
		return
	}
	if t.File == "" {
		b.Fail(path, n, "trace names no file; add file: probe.csv")
	}
	oneOf(b, path+".unit", n, t.Unit, "degC", "degF", "K")
	oneOf(b, path+".time", n, t.Time, "ms", "s", "min", "h", "d")
	for _, name := range sortedKeys(t.Probes) {
		var roles []string
		for _, r := range probes.Roles() {
			roles = append(roles, string(r))
		}
		oneOf(b, path+".probes."+name, n, string(t.Probes[name]), roles...)
	}
}

// oneOf refuses a word that is none of those allowed; it may be left out.
func oneOf(b *bind.Binder, path string, n *yaml.Node, word string, allowed ...string) {
	if word == "" || slices.Contains(allowed, word) {
		return
	}
	at, ok := b.Places[path]
	if !ok {
		at = bind.Place{Line: n.Line, Column: n.Column}
	}
	last := path[strings.LastIndexByte(path, '.')+1:]
	b.FailAt(path, at, "%s is %s; write one of %s", last, word, strings.Join(allowed, ", "))
}

func sortedKeys[V any](m map[string]V) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// State is how the part stands at the log's end.
type State struct {
	At      si.Time        `json:"at_s"`             // from the first mixing
	Coldest si.Temperature `json:"temperature_degC"` // of the part's probes
	Warmest si.Temperature `json:"warmest_degC"`
	Degree  float64        `json:"degree_of_cure"`       // of the least cured place
	Low     *float64       `json:"degree_low,omitempty"` // what gaps in the log leave open
	High    *float64       `json:"degree_high,omitempty"`
	Tg      si.Temperature `json:"tg_degC"`
	Gelled  bool           `json:"gelled"` // everywhere
	Firm    bool           `json:"firm"`   // it would stand without the mould
}

// ProbeState is one probe of the log.
type ProbeState struct {
	Name      string          `json:"name"`
	Role      probes.Role     `json:"role"`
	Followed  bool            `json:"followed"`                 // the cure was worked out at it
	Degree    *float64        `json:"degree_of_cure,omitempty"` // at the log's end
	Tg        *si.Temperature `json:"tg_degC,omitempty"`
	Lowest    si.Temperature  `json:"lowest_degC"`
	Highest   si.Temperature  `json:"highest_degC"`
	HighestAt si.Time         `json:"highest_at_s"`
	Spikes    int             `json:"spikes"`
	Gaps      int             `json:"gaps"`
	Bad       string          `json:"bad,omitempty"` // why it is of no use
	History   Line            `json:"history"`       // from the first mixing, thinned to draw
}

// Forecast is how it goes on from the log's end.
type Forecast struct {
	Hold    *si.Temperature `json:"hold_degC,omitempty"`    // held on at, where no schedule is left; else the schedule is followed
	Gel     *si.Time        `json:"gel_in_s,omitempty"`     // from the log's end; absent: it has, or does not
	Demould *si.Time        `json:"demould_in_s,omitempty"` // likewise
	GoOn    *GoOn           `json:"go_on,omitempty"`        // what brings it to what is wanted
}

// GoOn is one hold more.
type GoOn struct {
	Wait        si.Time                  `json:"wait_s"` // first
	Temperature si.Temperature           `json:"temperature_degC"`
	Ramp        si.TemperatureDifference `json:"ramp_K"` // an hour
	Hold        si.Time                  `json:"hold_s"`
	Tg          si.Temperature           `json:"tg_degC"` // then
}

// LogRead is how a log's file was understood.
type LogRead struct {
	File   string   `json:"file"`
	Told   []string `json:"told"`
	Doubts []string `json:"doubts,omitempty"`
}

func describe(log *probes.Log, starts si.Time) *LogRead {
	out := &LogRead{File: log.File, Told: slices.Clone(log.Read), Doubts: log.Doubts}
	out.Told = append(out.Told, fmt.Sprintf("The log's time 0 is %.3g h after the first mixing.", float64(starts)/3600))
	return out
}
