package cli

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// question is one word of laywright ask: the flags that make its small job, and
// what of the plan answers it.
type question struct {
	name, short, example string
	flags                []askFlag
	either               []string // one of these must be told, beside those that a flag needs
	fixed                []line   // what the job holds in any case
	stages               []string // of plan.json
}

// askFlag is a value that a person tells, and where it stands in a job file.
type askFlag struct {
	name    string
	key     string // path in the job file
	about   string
	example string
	needed  bool
	usual   string // taken where nothing is told; empty: left to the stage
	why     string // why that is taken
	form    form   // nil: the text as it is, in quotes
	also    string // another key that takes the same text
	with    string // flag that also needs; empty: none
	alone   string // the key beside --mass, where there is no laminate; empty: the same
}

// place is where the flag's value stands in the job file.
func (f askFlag) place(told map[string]string) string {
	if _, mix := told["mass"]; mix && f.alone != "" {
		return f.alone
	}
	return f.key
}

func (f askFlag) must() askFlag { f.needed = true; return f }

func (f askFlag) orElse(usual, why string) askFlag { f.usual, f.why = usual, why; return f }

func (f askFlag) usage() string {
	text := f.about + ", like " + shellQuote(f.example)
	if f.usual != "" {
		text += fmt.Sprintf(" (taken: %s)", f.usual)
	}
	return text
}

// The flags that several questions share.
var (
	areaFlag     = askFlag{name: "area", key: "part.area", about: "area that is laid over", example: "3.8 ft^2"}
	clothFlag    = askFlag{name: "cloth", key: "laminate.stack", about: "plies from the mould up", example: "3xcarbon-plain-193", form: stackForm}
	laidFlag     = askFlag{name: "resin", key: "laminate.resin", about: "resin by its name in the library", example: "laminating-epoxy-slow", alone: "wetout.resin"}.orElse("laminating-epoxy-slow", "the usual first choice under a bag")
	ratioFlag    = askFlag{name: "resin-ratio", key: "laminate.resin_ratio", about: "mass of resin to mass of cloth", example: "0.85"}
	fractionFlag = askFlag{name: "fibre-fraction", key: "laminate.fibre_fraction", about: "share of fibre by volume, instead of the ratio", example: "0.45"}
	shopFlag     = askFlag{name: "shop", key: "shop.temperature", about: "temperature of the shop", example: "61 degF"}
	bagFlag      = askFlag{name: "vacuum", key: "bag.vacuum", about: "vacuum by the gauge", example: "22 inHg"}.orElse("22 inHg", "the least that repair practice asks for")
	lostFlag     = askFlag{name: "lost", key: "wetout.lost", about: "share that stays in cup, brush and films", example: "18 %"}.orElse("18 %", "15 to 25 % is common practice")
	cupFlag      = askFlag{name: "cup", key: "wetout.cup_limit", about: "most that you mix in one cup", example: "100 g"}.orElse("100 g", "usual in certified manuals")
	heightFlag   = askFlag{name: "elevation", key: "shop.elevation", about: "height of the shop above the sea", example: "5000 ft"}
	curedFlag    = laidFlag.at("cure.resin")
	forFlag      = askFlag{name: "for", key: "cure.schedule", about: "time from mixing", example: "12 h", form: heldForm}
	historyFlag  = askFlag{name: "schedule", key: "cure.schedule", about: "temperatures from mixing on", example: "24 h at 20 degC, 4 h to 60 degC, 8 h at 60 degC", form: scheduleForm}
	serviceFlag  = askFlag{name: "service", key: "duty.loads.wall_temperature", about: "hottest the part gets in service", example: "93 degC"}
	failureFlag  = askFlag{name: "consequence", key: "job.consequence", about: "what happens if it softens", example: "smoke in the cabin"}
)

func (f askFlag) at(key string) askFlag { f.key = key; return f }

const mild = "a mild shop"

var questions = []question{
	{name: "resin", short: "How much resin and hardener for this area and cloth",
		example: "laywright ask resin --area '3.8 ft^2' --cloth 3xcarbon-plain-193",
		flags:   []askFlag{areaFlag.must(), clothFlag.must(), laidFlag, ratioFlag, fractionFlag, shopFlag.orElse("20 degC", mild), bagFlag, lostFlag, cupFlag},
		stages:  []string{"wetout", "bag"}},
	{name: "cups", short: "How many cups, how large, use by when; or what one cup does that is left standing",
		example: "laywright ask cups --mass '300 g' --shop '27 degC'",
		flags: []askFlag{{name: "mass", key: "wetout.mix", about: "mixed resin in one cup", example: "300 g", also: "wetout.cup_limit"}, areaFlag, clothFlag, laidFlag,
			shopFlag.orElse("20 degC", mild), bagFlag, lostFlag, cupFlag},
		either: []string{"mass", "area"},
		stages: []string{"wetout"}},
	{name: "mass", short: "What the part will weigh and how thick it gets",
		example: "laywright ask mass --area '3.8 ft^2' --cloth '2xcarbon-twill-200, glass-light-105'",
		flags:   []askFlag{areaFlag.must(), clothFlag.must(), laidFlag, ratioFlag, fractionFlag, shopFlag.orElse("20 degC", mild), bagFlag},
		stages:  []string{"laminate", "wetout", "bag", "mass_kg", "mass_low_kg", "mass_high_kg"}},
	{name: "vacuum", short: "What a reading of the vacuum gauge means at your height",
		example: "laywright ask vacuum --vacuum '22 inHg' --elevation '5000 ft'",
		flags: []askFlag{{name: "vacuum", key: "bag.vacuum", about: "vacuum by the gauge", example: "22 inHg", needed: true}, heightFlag,
			{name: "barometer", key: "shop.barometer", about: "air pressure read in the shop", example: "24.9 inHg"}, shopFlag.orElse("20 degC", mild),
			{name: "humidity", key: "shop.humidity", about: "relative humidity that the resin stood in", example: "50 %", usual: "50 %", why: "a dry shop"}},
		stages: []string{"bag"}},
	{name: "gel", short: "Whether tonight is warm enough: when it gels, and how far it cures by the morning",
		example: "laywright ask gel --shop '12 degC' --for '12 h'",
		flags:   []askFlag{shopFlag.must(), forFlag.orElse("12 h", "evening to morning"), curedFlag},
		fixed:   []line{{key: "cure.in", value: "room"}},
		stages:  []string{"cure"}},
	{name: "demould", short: "Whether it may come out of the mould",
		example: "laywright ask demould --shop '20 degC' --for '14 h'",
		flags:   []askFlag{shopFlag.orElse("20 degC", mild), forFlag.orElse("24 h", "a day and a night"), historyFlag, curedFlag, serviceFlag},
		either:  []string{"shop", "schedule"},
		stages:  []string{"cure"}},
	{name: "hot", short: "Whether it survives a temperature in service, and the post-cure for it",
		example: "laywright ask hot --service '93 degC' --consequence 'smoke in the cabin'",
		flags: []askFlag{serviceFlag.must(), curedFlag, historyFlag, shopFlag.orElse("20 degC", mild), failureFlag,
			{name: "oven", key: "cure.hottest", about: "hottest your oven can hold", example: "80 degC", usual: "80 degC", why: "a home-made oven"}},
		fixed:  []line{{key: "cure.in", value: "box-oven"}},
		stages: []string{"cure", "duty"}},
	{name: "heat", short: "How warm a heater's air gets",
		example: "laywright ask heat --width '9.5 in' --height '6 in' --depth '2 in' --liquid '185 degF' --air '14 degF' --flow '8 lb/min'",
		flags: []askFlag{
			{name: "width", key: "duty.heater.core.geometry.face.width", about: "of the core's face", example: "9.5 in"},
			{name: "height", key: "duty.heater.core.geometry.face.height", about: "of the core's face", example: "6 in"},
			{name: "depth", key: "duty.heater.core.geometry.depth", about: "of the core, along the air", example: "2 in"},
			{name: "ua", key: "duty.heater.core.rated.UA", about: "conductance of the core at this flow, instead of its size", example: "65 W/K"},
			{name: "liquid", key: "duty.heater.liquid.inlet", about: "temperature of coolant or oil coming in", example: "185 degF", needed: true},
			{name: "air", key: "duty.heater.air.inlet", about: "temperature of the air coming in", example: "14 degF", needed: true},
			{name: "flow", key: "duty.heater.air.flow", about: "air flow by mass", example: "8 lb/min", needed: true, also: "duty.heater.core.rated.at", with: "ua"},
			{name: "fins", key: "duty.heater.core.geometry.fins", about: "fins by their name in the library", example: "louvred-14fpi", usual: "louvred-14fpi", why: "a small car heater's"},
			{name: "fluid", key: "duty.heater.liquid.fluid", about: "liquid by its name in the library", example: "glycol-50", usual: "glycol-50", why: "coolant"},
			{name: "liquid-flow", key: "duty.heater.liquid.flow", about: "flow of the liquid", example: "18 L/min", usual: "18 L/min", why: "a heater hose's usual"},
			{name: "passes", key: "duty.heater.passes", about: "how often the air goes through", example: "2", usual: "1", why: "a plain core", form: passesForm},
			{name: "arrangement", key: "duty.heater.arrangement", about: "where the liquid enters", example: "across-counter", usual: "across-counter", why: "at the last air pass"},
			{name: "elevation", key: "duty.heater.air.altitude", about: "altitude", example: "6000 ft", usual: "0 ft", why: "sea level"}},
		either: []string{"width", "ua"},
		stages: []string{"duty"}},
}

func questionNames() (names []string) {
	for _, q := range questions {
		names = append(names, q.name)
	}
	return names
}

func (q question) flag(name string) (askFlag, bool) {
	i := slices.IndexFunc(q.flags, func(f askFlag) bool { return f.name == name })
	if i < 0 {
		return askFlag{}, false
	}
	return q.flags[i], true
}

// together lists flags that are of no use without each other.
var together = [][]string{{"area", "cloth"}, {"width", "height", "depth"}}

// apart lists pairs that say the same thing in two ways.
var apart = [][2]string{{"mass", "area"}, {"mass", "cup"}, {"ua", "width"}, {"schedule", "for"}, {"resin-ratio", "fibre-fraction"}}

// lacking says which flag is missing or one too many; empty: none.
func (q question) lacking(told map[string]string) string {
	for _, pair := range apart {
		_, one := told[pair[0]]
		_, other := told[pair[1]]
		if one && other {
			return fmt.Sprintf("--%s and --%s say the same in two ways; keep one", pair[0], pair[1])
		}
	}
	for _, f := range q.flags {
		if _, there := told[f.name]; !there && (f.needed || q.owes(f.name, told)) {
			return fmt.Sprintf("--%s is missing: %s, like --%s %s", f.name, f.about, f.name, shellQuote(f.example))
		}
	}
	if len(q.either) > 0 && !slices.ContainsFunc(q.either, func(n string) bool { _, there := told[n]; return there }) {
		return "--" + strings.Join(q.either, " or --") + " is missing"
	}
	return ""
}

// unreadable finds a flag that is told as nothing, or in bytes that are no text.
func (q question) unreadable(told map[string]string) (askFlag, bool) {
	for _, f := range q.flags {
		if text, there := told[f.name]; there && (strings.TrimSpace(text) == "" || !utf8.ValidString(text)) {
			return f, true
		}
	}
	return askFlag{}, false
}

// owes says whether a flag must be told because one that it goes with is.
func (q question) owes(name string, told map[string]string) bool {
	for _, set := range together {
		if slices.Contains(set, name) && slices.ContainsFunc(set, func(n string) bool { _, there := told[n]; return there }) {
			return true
		}
	}
	return false
}

// needs tells a person without flags what to write.
func (q question) needs() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s.\n\n", q.short)
	for _, f := range q.flags {
		word := ""
		switch {
		case f.needed:
			word = "  (needed)"
		case slices.Contains(q.either, f.name):
			word = "  (this or --" + strings.Join(slices.DeleteFunc(slices.Clone(q.either), func(n string) bool { return n == f.name }), ", --") + ")"
		case f.usual != "":
			word = "  (else " + f.usual + ")"
		}
		fmt.Fprintf(&b, "  --%-15s %s%s\n", f.name, f.about, word)
	}
	fmt.Fprintf(&b, "\nFor example:\n  %s\n", q.example)
	return b.String()
}

// behind finds the flag that a place in the job file was written from.
func (q question) behind(path string, told map[string]string) (found askFlag, ok bool) {
	longest := 0
	for _, f := range q.flags {
		if !q.stands(f, told) {
			continue
		}
		for _, key := range []string{f.place(told), f.also} {
			within := key != "" && (path == key || strings.HasPrefix(path, key+".") || strings.HasPrefix(path, key+"["))
			if within && len(key) > longest {
				found, ok, longest = f, true, len(key)
			}
		}
	}
	return found, ok
}

// stands says whether a flag's value, told or usual, is in the job.
func (q question) stands(f askFlag, told map[string]string) bool {
	if _, said := told[f.name]; said {
		return true
	}
	_, idle := told[unless[f.name]]
	return f.usual != "" && !idle
}

// unless names the flag beside which another one's usual value has no place.
var unless = map[string]string{"fins": "ua", "for": "schedule", "vacuum": "mass", "lost": "mass", "cup": "mass"}
