package bind

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"
)

// Put returns source with the value at path set to text, one line of YAML. A value
// that is there is replaced, one that is not is written in after its neighbours, with
// the sections that it needs; the number after the last of a list adds one to it. All
// else stays as it was byte by byte, comments included. An error says why it can't be
// done; then nothing has changed.
func Put(source []byte, path, text string) ([]byte, error) {
	if strings.ContainsAny(text, "\r\n") {
		return nil, fmt.Errorf("%s: write the value on one line", path)
	}
	return edit(source, path, &text)
}

// Take returns source without the value at path, its key and the comment on its line.
// A section that would be left empty goes with it.
func Take(source []byte, path string) ([]byte, error) { return edit(source, path, nil) }

// edit is [Put], or [Take] for a nil text. What comes out is read again and held against
// what was asked for.
func edit(source []byte, path string, text *string) ([]byte, error) {
	root, problems := Parse(source)
	if root == nil {
		return nil, fmt.Errorf("%d:%d: %s", problems[0].Line, problems[0].Column, problems[0].What)
	}
	e := editor{source, path}
	to := steps(path)
	if len(to) == 0 {
		return nil, errors.New("no value is named")
	}
	var want, got any
	if err := yaml.Unmarshal(source, &want); err != nil {
		return nil, err
	}
	var value any
	if text != nil {
		if err := yaml.Unmarshal([]byte(*text), &value); err != nil {
			return nil, fmt.Errorf("%s: %q is no value: %w", path, *text, err)
		}
	}
	want, err := changed(want, to, value, text == nil)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	var out []byte
	if text == nil {
		out, err = e.take(root, to)
	} else {
		out, err = e.put(root, to, *text)
	}
	if err != nil {
		return nil, err
	}
	if err := yaml.Unmarshal(out, &got); err != nil || !reflect.DeepEqual(got, want) {
		return nil, fmt.Errorf("%s: the file can't be changed there without touching other values; change it by hand", path)
	}
	return out, nil
}

// changed is the tree with the value put in, or taken out.
func changed(tree any, to []string, value any, take bool) (any, error) {
	if len(to) == 0 {
		return value, nil
	}
	n, numbered := strconv.Atoi(to[0])
	if list, isList := tree.([]any); isList || tree == nil && numbered == nil {
		if numbered != nil || n < 0 || n > len(list) || n == len(list) && take {
			return nil, fmt.Errorf("the list has %d lines and none called %s", len(list), to[0])
		}
		if take && len(to) == 1 {
			return emptied(slices.Delete(list, n, n+1)), nil
		}
		if n == len(list) {
			list = append(list, nil)
		}
		inner, err := changed(list[n], to[1:], value, take)
		if take && inner == nil {
			return emptied(slices.Delete(list, n, n+1)), err
		}
		list[n] = inner
		return list, err
	}
	section, isSection := tree.(map[string]any)
	if tree != nil && !isSection {
		return nil, errors.New("a value stands there and no section")
	}
	if section == nil {
		section = map[string]any{}
	}
	inner, there := section[to[0]]
	if take && !there {
		return nil, errors.New("it is not in the file")
	}
	if take && len(to) == 1 {
		delete(section, to[0])
	} else if inner, err := changed(inner, to[1:], value, take); err != nil {
		return nil, err
	} else if take && inner == nil {
		delete(section, to[0])
	} else {
		section[to[0]] = inner
	}
	if take && len(section) == 0 {
		return nil, nil
	}
	return section, nil
}

// emptied makes nothing of a list without lines.
func emptied(list []any) any {
	if len(list) == 0 {
		return nil
	}
	return list
}

// steps splits "laminate.stack[2].angle" into keys and numbers.
func steps(path string) []string {
	return strings.FieldsFunc(path, func(r rune) bool { return r == '.' || r == '[' || r == ']' })
}

type editor struct {
	source []byte
	path   string
}

// between is source with the bytes from start to end replaced.
func (e editor) between(start, end int, text string) []byte {
	return bytes.Join([][]byte{e.source[:start], []byte(text), e.source[end:]}, nil)
}

// put follows the path as far as it goes and writes what is left of it there.
func (e editor) put(n *yaml.Node, to []string, text string) ([]byte, error) {
	at := n
	for len(to) > 0 {
		key, value := child(at, to[0])
		if value == nil {
			return e.insert(at, to, text)
		}
		if null(value) {
			return e.fill(key, nested(to[1:], text))
		}
		at, to = value, to[1:]
	}
	start, end, err := e.extent(at)
	if err != nil {
		return nil, err
	}
	return e.between(start, end, text), nil
}

// child returns the key and the value of a step; a line of a list has no key.
func child(n *yaml.Node, step string) (key, value *yaml.Node) {
	switch n.Kind {
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			if n.Content[i].Value == step {
				return n.Content[i], n.Content[i+1]
			}
		}
	case yaml.SequenceNode:
		if i, err := strconv.Atoi(step); err == nil && 0 <= i && i < len(n.Content) {
			return nil, n.Content[i]
		}
	}
	return nil, nil
}

func null(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.Tag == "!!null" && n.Value == "" }

// nested writes a value with the sections around it, on one line.
func nested(to []string, text string) string {
	for _, step := range slices.Backward(to) {
		if _, err := strconv.Atoi(step); err == nil {
			text = "[" + text + "]"
		} else {
			text = "{" + step + ": " + text + "}"
		}
	}
	return text
}

// fill writes the value of a key that has none yet.
func (e editor) fill(key *yaml.Node, text string) ([]byte, error) {
	if key == nil {
		return nil, fmt.Errorf("%s: an empty line of a list can't be filled; write it by hand", e.path)
	}
	_, end, err := e.extent(key)
	if err != nil {
		return nil, err
	}
	colon := bytes.IndexByte(e.source[end:], ':')
	if colon < 0 {
		return nil, fmt.Errorf("%s: no colon after its key", e.path)
	}
	return e.between(end+colon+1, end+colon+1, " "+text), nil
}

// insert writes a new key, or a new line of a list, after the last there is.
func (e editor) insert(n *yaml.Node, to []string, text string) ([]byte, error) {
	text = nested(to[1:], text)
	if n.Kind == yaml.MappingNode {
		text = to[0] + ": " + text
	}
	if n.Style&yaml.FlowStyle != 0 {
		_, end, err := e.extent(n)
		if err != nil {
			return nil, err
		}
		if len(n.Content) == 0 {
			return e.between(end-1, end-1, text), nil
		}
		_, after, err := e.extent(n.Content[len(n.Content)-1])
		return e.between(after, after, ", "+text), err
	}
	if n.Kind == yaml.SequenceNode {
		text = "- " + text
	}
	start, end, err := e.extent(n)
	if err != nil {
		return nil, err
	}
	indent := strings.Repeat(" ", start-e.lineStart(start))
	line := e.lineEnd(end)
	return e.between(line, line, "\n"+indent+text), nil
}

// take cuts a value out; from a section or a list of which it is all, the whole.
func (e editor) take(n *yaml.Node, to []string) ([]byte, error) {
	at, whole := n, n
	var path []string
	for i, step := range to {
		_, value := child(at, step)
		if value == nil {
			return nil, fmt.Errorf("%s is not in the file", e.path)
		}
		if alone := len(at.Content) == 1 || at.Kind == yaml.MappingNode && len(at.Content) == 2; !alone {
			whole, path = at, to[i:i+1]
		}
		at = value
	}
	if path == nil {
		return nil, fmt.Errorf("%s is all there is in the file", e.path)
	}
	return e.cut(whole, path[0])
}

// cut takes a child out of its parent, which has others.
func (e editor) cut(parent *yaml.Node, step string) ([]byte, error) {
	key, value := child(parent, step)
	first := value
	if key != nil {
		first = key
	}
	start, _, err := e.extent(first)
	if err != nil {
		return nil, err
	}
	end := 0
	if null(value) {
		if _, end, err = e.extent(key); err != nil {
			return nil, err
		}
	} else if _, end, err = e.extent(value); err != nil {
		return nil, err
	}
	if parent.Style&yaml.FlowStyle == 0 {
		return e.between(e.lineStart(start), min(e.lineEnd(end)+1, len(e.source)), ""), nil
	}
	if i := slices.Index(parent.Content, first); i > 0 {
		_, before, err := e.extent(parent.Content[i-1])
		return e.between(before, end, ""), err
	}
	next, _, err := e.extent(parent.Content[slices.Index(parent.Content, value)+1])
	return e.between(start, next, ""), err
}

func (e editor) lineStart(at int) int { return bytes.LastIndexByte(e.source[:at], '\n') + 1 }

// lineEnd is where the line ends, before its line feed.
func (e editor) lineEnd(at int) int {
	if i := bytes.IndexByte(e.source[at:], '\n'); i >= 0 {
		return at + i
	}
	return len(e.source)
}
