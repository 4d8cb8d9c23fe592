package bind

import (
	"bytes"
	"fmt"
	"reflect"
	"strings"

	"go.yaml.in/yaml/v4"
)

// Splice returns source with the one-line value at path replaced by text, which
// is put in as YAML. Every other byte stays as it was, comments included.
// An error says why the value can't be replaced so.
func Splice(source []byte, path, text string) ([]byte, error) {
	root, problems := Parse(source)
	if root == nil {
		return nil, fmt.Errorf("%d:%d: %s", problems[0].Line, problems[0].Column, problems[0].What)
	}
	n := find(root, steps(path))
	switch {
	case n == nil:
		return nil, fmt.Errorf("%s: there is no such value in the file; write it in by hand once", path)
	case n.Kind != yaml.ScalarNode || n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		return nil, fmt.Errorf("%s is not a value on one line; change it by hand", path)
	}
	start, err := offset(source, n.Line, n.Column)
	if err != nil {
		return nil, err
	}
	end := start + width(source[start:], n)
	out := bytes.Join([][]byte{source[:start], []byte(text), source[end:]}, nil)
	return out, onlyChanged(source, out, path)
}

// onlyChanged reads both texts again: all values but the one at path must be alike.
func onlyChanged(before, after []byte, path string) error {
	a, _ := Parse(before)
	b, problems := Parse(after)
	if b == nil {
		return fmt.Errorf("%s: the new text would spoil the file: %s", path, problems[0].What)
	}
	one, two := plain(a), plain(b)
	at := strings.Join(steps(path), ".")
	delete(one, at)
	if _, kept := two[at]; !kept {
		return fmt.Errorf("%s: the new text is not one value", path)
	}
	delete(two, at)
	if !reflect.DeepEqual(one, two) {
		return fmt.Errorf("%s: the new text would change other values", path)
	}
	return nil
}

// plain lists every scalar of the tree by its path.
func plain(root *yaml.Node) map[string]string {
	out := map[string]string{}
	var walk func(at string, n *yaml.Node)
	walk = func(at string, n *yaml.Node) {
		switch n.Kind {
		case yaml.MappingNode:
			for i := 0; i+1 < len(n.Content); i += 2 {
				walk(join(at, n.Content[i].Value), n.Content[i+1])
			}
		case yaml.SequenceNode:
			for i, item := range n.Content {
				walk(join(at, fmt.Sprint(i)), item)
			}
		case yaml.ScalarNode:
			out[at] = n.Value
		case yaml.AliasNode:
			out[at] = "*" + n.Value
		}
	}
	walk("", root)
	return out
}

// steps splits "laminate.stack[2].angle" into keys and numbers.
func steps(path string) []string {
	return strings.FieldsFunc(path, func(r rune) bool { return r == '.' || r == '[' || r == ']' })
}

func find(n *yaml.Node, path []string) *yaml.Node {
	if len(path) == 0 {
		return n
	}
	switch n.Kind {
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			if n.Content[i].Value == path[0] {
				return find(n.Content[i+1], path[1:])
			}
		}
	case yaml.SequenceNode:
		for i, item := range n.Content {
			if fmt.Sprint(i) == path[0] {
				return find(item, path[1:])
			}
		}
	}
	return nil
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

// width is the length in bytes of the scalar that s begins with.
func width(s []byte, n *yaml.Node) int {
	switch {
	case n.Style&yaml.DoubleQuotedStyle != 0:
		for i := 1; i < len(s); i++ {
			if s[i] == '\\' {
				i++
			} else if s[i] == '"' {
				return i + 1
			}
		}
	case n.Style&yaml.SingleQuotedStyle != 0:
		for i := 1; i < len(s); i++ {
			if s[i] != '\'' {
				continue
			}
			if i+1 < len(s) && s[i+1] == '\'' {
				i++
				continue
			}
			return i + 1
		}
	}
	return len(n.Value)
}
