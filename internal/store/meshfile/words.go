package meshfile

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// maxWord is longer than any number or keyword.
const maxWord = 256

// words splits a text stream at white space and counts its lines.
type words struct {
	in   *input
	line int // line of the word last read, from 1
	buf  []byte
	peek byte // byte put back, with has set
	has  bool
}

func newWords(in *input) *words { return &words{in: in, line: 1} }

func (w *words) at() string { return fmt.Sprintf("line %d", w.line) }

func (w *words) next() (byte, error) {
	if w.has {
		w.has = false
		return w.peek, nil
	}
	return w.in.r.ReadByte()
}

func (w *words) back(c byte) { w.peek, w.has = c, true }

func space(c byte) bool {
	return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\v' || c == '\f'
}

// word returns the next word in lower case; io.EOF means that none is left.
func (w *words) word() (string, error) {
	w.buf = w.buf[:0]
	for {
		c, err := w.next()
		if err == io.EOF && len(w.buf) > 0 {
			break
		}
		if err != nil {
			return "", err
		}
		if space(c) {
			if len(w.buf) > 0 {
				w.back(c)
				break
			}
			if c == '\n' {
				w.line++
			}
			continue
		}
		if len(w.buf) == maxWord {
			return "", w.in.fail(w.at(), fmt.Sprintf("a word of more than %d letters", maxWord), "this is no mesh file in text: export it again")
		}
		w.buf = append(w.buf, c)
	}
	return strings.ToLower(string(w.buf)), nil
}

// rest returns what is left of the line, without the white space round it, as
// far as it is short enough for a name.
func (w *words) rest() (string, error) {
	w.buf = w.buf[:0]
	for {
		c, err := w.next()
		if err == io.EOF {
			break
		}
		if err != nil {
			return "", err
		}
		if c == '\n' || c == '\r' {
			w.back(c)
			break
		}
		if len(w.buf) < maxWord {
			w.buf = append(w.buf, c)
		}
	}
	return printable(strings.TrimSpace(string(w.buf))), nil
}

// printable takes out what would spoil a terminal or a page.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, ""))
}

// short cuts a word for an error message.
func short(s string) string {
	s = printable(s)
	if r := []rune(s); len(r) > 24 {
		s = string(r[:24]) + "…"
	}
	return strconv.Quote(s)
}

// number reads a word as a number; NaN and Inf pass here and are refused as
// places. The caller adds to the error where that is.
func (in *input) number(word string) (float64, error) {
	x, err := strconv.ParseFloat(word, 64)
	if err == nil || math.IsInf(x, 0) { // a number too large
		return x, nil
	}
	do := "export it again"
	if strings.Count(word, ",") == 1 {
		do = "export it with points in the numbers, not commas"
	}
	return 0, in.fail("", fmt.Sprintf("%s is no number", short(word)), do)
}
