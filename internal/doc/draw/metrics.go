package draw

import (
	"strings"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// TTF returns the font file of a face. The Go fonts are free to embed and hold
// ° ± µ Ø × − ≤ ≥ and the Greek letters.
func TTF(f Face) []byte {
	switch f {
	case Bold:
		return gobold.TTF
	case Mono:
		return gomono.TTF
	}
	return goregular.TTF
}

// emUnits is the resolution at which advances are read; the Go fonts have 2048
// units to the em, so nothing is rounded.
const emUnits = 2048

// capRatio is the height of a capital as a share of the em in the Go fonts
// (1,448 of 2,048 units).
const capRatio = 1448.0 / emUnits

// advances holds the width of every glyph of a face in em units; read once,
// never changed.
var advances = [3]func() map[rune]float64{
	Regular: sync.OnceValue(func() map[rune]float64 { return readAdvances(goregular.TTF) }),
	Bold:    sync.OnceValue(func() map[rune]float64 { return readAdvances(gobold.TTF) }),
	Mono:    sync.OnceValue(func() map[rune]float64 { return readAdvances(gomono.TTF) }),
}

// lastRune bounds the table: above it the Go fonts hold only box drawing and
// ligatures that no document uses.
const lastRune = 0x2300

func readAdvances(ttf []byte) map[rune]float64 {
	out := map[rune]float64{}
	f, err := sfnt.Parse(ttf)
	if err != nil {
		return out // the fonts are compiled in; a test reads them
	}
	var buf sfnt.Buffer
	for r := rune(' '); r < lastRune; r++ {
		g, err := f.GlyphIndex(&buf, r)
		if err != nil || g == 0 {
			continue
		}
		if adv, err := f.GlyphAdvance(&buf, g, fixed.I(emUnits), font.HintingNone); err == nil {
			out[r] = float64(adv) / 64
		}
	}
	return out
}

// Width returns how long s is, in millimetres, at a size in points.
func Width(s string, f Face, size float64) float64 {
	table, sum := advances[f](), 0.0
	for _, r := range s {
		w, ok := table[r]
		if !ok {
			w = table['?']
		}
		sum += w
	}
	return sum / emUnits * size * Point
}

// CapHeight returns the height of a capital, in millimetres, at a size in points.
func CapHeight(size float64) float64 { return capRatio * size * Point }

// Writable returns s with every letter that the face lacks replaced by "?", and
// tabs and line ends by a space, so that no encoder meets a glyph it can't draw.
func Writable(s string, f Face) string {
	table := advances[f]()
	return strings.Map(func(r rune) rune {
		switch _, ok := table[r]; {
		case r == '\t' || r == '\n' || r == '\r':
			return ' '
		case !ok:
			return '?'
		}
		return r
	}, s)
}

// Wrap breaks s into lines no longer than width millimetres. It breaks at
// spaces, keeps line ends that are there, and splits a word only when the word
// alone is too long.
func Wrap(s string, f Face, size, width float64) []string {
	var out []string
	for _, para := range strings.Split(s, "\n") {
		line := ""
		for _, word := range strings.Fields(para) {
			next := word
			if line != "" {
				next = line + " " + word
			}
			if Width(next, f, size) <= width {
				line = next
				continue
			}
			if line != "" {
				out = append(out, line)
			}
			var parts []string
			parts, line = split(word, f, size, width)
			out = append(out, parts...)
		}
		out = append(out, line)
	}
	return out
}

// split cuts a word into full lines and the rest, behind a hyphen where the
// line has one.
func split(word string, f Face, size, width float64) (full []string, rest string) {
	for _, r := range word {
		if rest != "" && Width(rest+string(r), f, size) > width {
			cut := strings.LastIndex(rest, "-") + 1
			if cut == 0 {
				cut = len(rest)
			}
			full, rest = append(full, rest[:cut]), rest[cut:]
		}
		rest += string(r)
	}
	return full, rest
}

// Cropped shortens s with an ellipsis to fit a width in mm.
func Cropped(s string, f Face, size, width float64) string {
	if Width(s, f, size) <= width {
		return s
	}
	letters := []rune(s)
	for n := len(letters); n > 0; n-- {
		if short := strings.TrimRight(string(letters[:n]), " ") + "…"; Width(short, f, size) <= width {
			return short
		}
	}
	return ""
}
