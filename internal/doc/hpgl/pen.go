package hpgl

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/doc/draw"
)

// dashes cuts a line into the parts that are drawn: the lengths in millimetres of
// ink and of gap follow one another from the line's beginning.
func dashes(pts []r2.Vec, pattern []float64) (out [][]r2.Vec) {
	period := 0.0
	for _, d := range pattern {
		period += d
	}
	if !(period > 0) {
		return [][]r2.Vec{pts}
	}
	k, left := 0, pattern[0]
	run := []r2.Vec{pts[0]}
	for i := 1; i < len(pts); i++ {
		a, b := pts[i-1], pts[i]
		length := r2.Norm(r2.Sub(b, a))
		for done := 0.0; done < length; {
			step := min(left, length-done)
			done += step
			left -= step
			at := r2.Add(a, r2.Scale(done/length, r2.Sub(b, a)))
			if k%2 == 0 {
				run = append(run, at)
			}
			if left > 0 {
				continue
			}
			if k%2 == 0 {
				out = append(out, run)
			}
			k = (k + 1) % (len(pattern) + len(pattern)%2)
			left = pattern[k%len(pattern)]
			run = []r2.Vec{at}
		}
	}
	if k%2 == 0 && len(run) > 1 {
		out = append(out, run)
	}
	return out
}

// endOfLabel ends words: the ETX letter, as the language has it from the start.
const endOfLabel = "\x03"

// advance is how far apart the plotter sets letters, in widths of one.
const advance = 1.5

// text writes a line of words with the plotter's own letters: as high as the
// capitals of the drawing's, as long as its words.
func (e *encoder) text(t draw.Text) {
	s := plain(draw.Writable(t.String, t.Face))
	if s == "" || t.Size <= 0 {
		return
	}
	at, along := t.Base()
	u := units(at)
	wide := draw.Width(t.String, t.Face, t.Size) / (advance * float64(len(s)))
	fmt.Fprintf(&e.buf, "PU%d,%d;DI%.4f,%.4f;SI%.4f,%.4f;LB%s%s\n", u[0], u[1], along.X+0, along.Y+0, wide/10, draw.CapHeight(t.Size)/10, s, endOfLabel)
}

// typed is what the seven-bit letters of a plotter make of print.
var typed = strings.NewReplacer("°", " deg", "·", "-", "×", "x", "−", "-", "–", "-", "±", "+/-", "²", "^2", "³", "^3", "µ", "u", "Ø", "dia ", "…", "...")

// plain keeps the letters that every plotter has; any other becomes a question mark.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '?'
		}
		return r
	}, typed.Replace(s))
}
