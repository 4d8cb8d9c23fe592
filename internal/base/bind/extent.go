package bind

import (
	"bytes"
	"fmt"

	"go.yaml.in/yaml/v4"
)

// extent returns where a value begins and ends in the source, in bytes.
func (e editor) extent(n *yaml.Node) (start, end int, err error) {
	if start, err = offset(e.source, n.Line, n.Column); err != nil {
		return 0, 0, err
	}
	switch {
	case n.Kind == yaml.ScalarNode && n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0, n.Anchor != "":
		return 0, 0, fmt.Errorf("%s: the value on line %d is not on one line by itself; change it by hand", e.path, n.Line)
	case n.Kind == yaml.ScalarNode:
		return start, start + width(e.source[start:], n), nil
	case n.Kind == yaml.AliasNode:
		return start, start + len(n.Value) + 1, nil
	case n.Style&yaml.FlowStyle != 0:
		length, closed := bracketed(e.source[start:])
		if !closed {
			return 0, 0, fmt.Errorf("%s: the bracket on line %d is not closed", e.path, n.Line)
		}
		return start, start + length, nil
	}
	for _, c := range n.Content {
		if null(c) {
			continue
		}
		_, last, err := e.extent(c)
		if err != nil {
			return 0, 0, err
		}
		end = max(end, last)
	}
	return start, end, nil
}

// bracketed is the length of what s begins with up to its closing bracket; brackets in
// quotes and comments do not count.
func bracketed(s []byte) (int, bool) {
	depth := 0
	for i := 0; i < len(s); i++ {
		switch c := s[i]; c {
		case '{', '[':
			depth++
		case '}', ']':
			if depth--; depth == 0 {
				return i + 1, true
			}
		case '"', '\'':
			if i > 0 && bytes.IndexByte([]byte(" \t\n,:{["), s[i-1]) < 0 {
				continue // within a word
			}
			i += quoted(s[i:]) - 1
		case '#':
			if i > 0 && (s[i-1] == ' ' || s[i-1] == '\t' || s[i-1] == '\n') {
				line := bytes.IndexByte(s[i:], '\n')
				if line < 0 {
					return 0, false
				}
				i += line
			}
		}
	}
	return 0, false
}

// quoted is the length of the quoted text that s begins with.
func quoted(s []byte) int {
	for i := 1; i < len(s); i++ {
		switch {
		case s[0] == '"' && s[i] == '\\':
			i++
		case s[i] != s[0]:
		case s[0] == '\'' && i+1 < len(s) && s[i+1] == '\'':
			i++
		default:
			return i + 1
		}
	}
	return len(s)
}

// width is the length in bytes of the scalar that s begins with.
func width(s []byte, n *yaml.Node) int {
	if n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0 {
		return quoted(s)
	}
	return len(n.Value)
}

// offset turns a line and a column in characters into a byte offset.
func offset(source []byte, line, column int) (int, error) {
	at := 0
	for range line - 1 {
		i := bytes.IndexByte(source[at:], '\n')
		if i < 0 {
			return 0, fmt.Errorf("the file has no line %d", line)
		}
		at += i + 1
	}
	rest := string(source[at:])
	for i := range rest {
		if column--; column == 0 {
			return at + i, nil
		}
	}
	return 0, fmt.Errorf("line %d is too short", line)
}
