// Package bind fills typed Go values from a YAML tree. It reports every problem
// at once, each with its path, line, column and what to write instead, and it
// remembers where each value stood and what tolerance was written with it.
//
// Field names come from `yaml` tags; tags `least`, `most` and `above` (with `below`) bound a
// number, in SI units. Quantities of package si are read from text with a unit.
// A type with a Bind method reads itself.
package bind

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Place is where a value or key stands in a file, from 1.
type Place struct {
	Line   int `json:"line"`
	Column int `json:"column"`
}

// Problem is one thing wrong in a file.
type Problem struct {
	Place
	Path string `json:"path"` // "laminate.stack[2].angle"
	What string `json:"what"` // what is wrong and what to write
}

// Binder fills values and gathers what it met on the way.
type Binder struct {
	Problems   []Problem
	Places     map[string]Place   // where each value stands, by path
	Tolerances map[string]float64 // half-widths in SI units, by path
	Texts      map[string]string  // quantities as they were written, by path
	visits     int
}

// Binding is a type that reads itself from a node.
type Binding interface {
	Bind(b *Binder, path string, n *yaml.Node)
}

// maxVisits bounds the work on a file that repeats parts by reference.
const maxVisits = 300_000

// Parse reads one YAML document. A syntax error is a problem with its place.
func Parse(source []byte) (*yaml.Node, []Problem) {
	if p, wrong := notUTF8(source); wrong {
		return nil, []Problem{p}
	}
	var root yaml.Node
	if err := yaml.Unmarshal(source, &root); err != nil {
		return nil, []Problem{syntax(err)}
	}
	if root.Kind == 0 || len(root.Content) == 0 {
		return nil, []Problem{{Place: Place{1, 1}, What: "the file is empty; the first line is laywright: 1"}}
	}
	if line := secondDocument(source); line > 0 {
		return nil, []Problem{{Place: Place{line, 1}, What: "a second document begins here and would be dropped; one file holds one"}}
	}
	return root.Content[0], nil
}

// secondDocument returns the line of a document mark with text before it, 0
// where there is none.
func secondDocument(source []byte) int {
	begun := false
	for i, line := range strings.Split(string(source), "\n") {
		line = strings.TrimRight(line, "\r ")
		switch {
		case line == "---" || strings.HasPrefix(line, "--- "):
			if begun {
				return i + 1
			}
		case line != "" && !strings.HasPrefix(line, "#") && !strings.HasPrefix(line, "%"):
			begun = true
		}
	}
	return 0
}

// notUTF8 finds the first byte that is no UTF-8.
func notUTF8(source []byte) (Problem, bool) {
	line, column := 1, 1
	for rest := source; len(rest) > 0; {
		r, size := utf8.DecodeRune(rest)
		if r == utf8.RuneError && size == 1 {
			return Problem{Place: Place{line, column}, What: fmt.Sprintf("byte 0x%02x is no UTF-8 text; save the file as UTF-8", rest[0])}, true
		}
		if column++; r == '\n' {
			line, column = line+1, 1
		}
		rest = rest[size:]
	}
	return Problem{}, false
}

// syntax turns the reader's error into a problem; its place is in the text.
func syntax(err error) Problem {
	var several *yaml.LoadErrors
	if errors.As(err, &several) && len(several.Errors) > 0 {
		e := several.Errors[0]
		return Problem{Place: Place{max(1, e.Mark.Line), max(1, e.Mark.Column)}, What: "this is not YAML: " + e.Error()}
	}
	p := Problem{Place: Place{1, 1}, What: "this is not YAML: " + strings.TrimPrefix(err.Error(), "yaml: ")}
	for _, word := range strings.FieldsFunc(err.Error(), func(r rune) bool { return strings.ContainsRune(" :,", r) }) {
		if n, e := strconv.Atoi(word); e == nil && n > 0 {
			p.Line = n
			break
		}
	}
	return p
}

// New returns an empty binder.
func New() *Binder {
	return &Binder{Places: map[string]Place{}, Tolerances: map[string]float64{}, Texts: map[string]string{}}
}

// Into fills *target from n. Problems are gathered, never returned singly, so
// that a person sees all of them at once.
func (b *Binder) Into(target any, path string, n *yaml.Node) {
	b.fill(reflect.ValueOf(target).Elem(), path, n)
}

// Fail records a problem at node n.
func (b *Binder) Fail(path string, n *yaml.Node, format string, a ...any) {
	b.FailAt(path, Place{n.Line, n.Column}, format, a...)
}

// FailAt records a problem at a place.
func (b *Binder) FailAt(path string, at Place, format string, a ...any) {
	b.Problems = append(b.Problems, Problem{Place: at, Path: path, What: fmt.Sprintf(format, a...)})
}

var bindingType = reflect.TypeFor[Binding]()

func (b *Binder) fill(v reflect.Value, path string, n *yaml.Node) {
	if b.visits++; b.visits > maxVisits {
		if b.visits == maxVisits+1 {
			b.Fail(path, n, "the file holds more than %d values, or repeats itself by reference; write less", maxVisits)
		}
		return
	}
	for n.Kind == yaml.AliasNode {
		n = n.Alias
	}
	b.Places[path] = Place{n.Line, n.Column}
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			v.Set(reflect.New(v.Type().Elem()))
		}
		b.fill(v.Elem(), path, n)
		return
	}
	if v.CanAddr() && v.Addr().Type().Implements(bindingType) {
		v.Addr().Interface().(Binding).Bind(b, path, n)
		return
	}
	if n.Kind == yaml.ScalarNode && n.Tag == "!!null" {
		b.Fail(path, n, "%s is empty; give it a value or take the line out", last(path))
		return
	}
	if k, ok := KindOf(v.Type()); ok {
		b.quantity(v, k, path, n)
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		b.section(v, path, n)
	case reflect.Map:
		b.table(v, path, n)
	case reflect.Slice:
		b.list(v, path, n)
	default:
		b.scalar(v, path, n)
	}
}

// KindOf returns the kind of a quantity type of package si.
func KindOf(t reflect.Type) (si.Kind, bool) {
	if t.Kind() != reflect.Float64 {
		return si.Kind{}, false
	}
	q, ok := reflect.Zero(t).Interface().(interface{ Kind() si.Kind })
	if !ok {
		return si.Kind{}, false
	}
	return q.Kind(), true
}

func (b *Binder) section(v reflect.Value, path string, n *yaml.Node) {
	if n.Kind != yaml.MappingNode {
		b.Fail(path, n, "%s needs keys below it: %s", last(path), strings.Join(keys(v.Type()), ", "))
		return
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		at := join(path, key.Value)
		index, known := field(v.Type(), key.Value)
		switch {
		case !known:
			b.Fail(at, key, "%s is not a key here%s", key.Value, offer(key.Value, keys(v.Type())))
		case seen[key.Value]:
			b.Fail(at, key, "%s stands here twice; keep one", key.Value)
		default:
			seen[key.Value] = true
			before := len(b.Problems)
			b.fill(v.Field(index), at, value)
			if len(b.Problems) == before {
				b.bounds(v.Field(index), v.Type().Field(index).Tag, at, value)
			}
		}
	}
}

func (b *Binder) table(v reflect.Value, path string, n *yaml.Node) {
	if n.Kind != yaml.MappingNode {
		b.Fail(path, n, "%s needs names below it, each with its record", last(path))
		return
	}
	if v.IsNil() {
		v.Set(reflect.MakeMap(v.Type()))
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		at := join(path, key.Value)
		if v.MapIndex(reflect.ValueOf(key.Value)).IsValid() {
			b.Fail(at, key, "%s stands here twice; keep one", key.Value)
			continue
		}
		item := reflect.New(v.Type().Elem()).Elem()
		b.fill(item, at, value)
		v.SetMapIndex(reflect.ValueOf(key.Value), item)
	}
}

func (b *Binder) list(v reflect.Value, path string, n *yaml.Node) {
	if n.Kind != yaml.SequenceNode {
		b.Fail(path, n, "%s must be a list: [ ... ]", last(path))
		return
	}
	out := reflect.MakeSlice(v.Type(), len(n.Content), len(n.Content))
	for i, item := range n.Content {
		b.fill(out.Index(i), fault.Numbered(path, i), item)
	}
	v.Set(out)
}

func (b *Binder) quantity(v reflect.Value, k si.Kind, path string, n *yaml.Node) {
	if n.Kind != yaml.ScalarNode {
		b.Fail(path, n, "%s must be one value, like %q", last(path), k.Example)
		return
	}
	value, err := si.ParseKind(n.Value, k)
	if err != nil {
		at := Place{n.Line, n.Column}
		var e *si.Error
		if errors.As(err, &e) && n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) == 0 {
			at.Column += e.Column - 1
			if n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0 {
				at.Column++
			}
		}
		b.FailAt(path, at, "%s: %v", last(path), err)
		return
	}
	v.SetFloat(value.SI)
	b.Texts[path] = n.Value
	if value.Tolerance > 0 {
		b.Tolerances[path] = value.Tolerance
	}
}

func (b *Binder) scalar(v reflect.Value, path string, n *yaml.Node) {
	if n.Kind != yaml.ScalarNode {
		b.Fail(path, n, "%s must be one value", last(path))
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(n.Value)
	case reflect.Bool:
		x, err := strconv.ParseBool(n.Value)
		if err != nil {
			b.Fail(path, n, "%s must be true or false, not %q", last(path), n.Value)
		}
		v.SetBool(x)
	case reflect.Int, reflect.Int64:
		x, err := strconv.ParseInt(n.Value, 10, 64)
		if err != nil {
			b.Fail(path, n, "%s must be a whole number, not %q", last(path), n.Value)
		}
		v.SetInt(x)
	case reflect.Uint64:
		x, err := strconv.ParseUint(n.Value, 10, 64)
		if err != nil {
			b.Fail(path, n, "%s must be a whole number, 0 or more, not %q", last(path), n.Value)
		}
		v.SetUint(x)
	case reflect.Float64:
		x, err := strconv.ParseFloat(n.Value, 64)
		if err != nil || x-x != 0 {
			b.Fail(path, n, "%s must be a bare number, not %q", last(path), n.Value)
			return
		}
		v.SetFloat(x)
	default:
		b.Fail(path, n, "%s can't be read here", last(path))
	}
}

func last(path string) string {
	if i := strings.LastIndexByte(path, '.'); i >= 0 {
		return path[i+1:]
	}
	if path == "" {
		return "the file"
	}
	return path
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// field finds the field that a key fills.
func field(t reflect.Type, key string) (int, bool) {
	for i := range t.NumField() {
		if name := t.Field(i).Tag.Get("yaml"); name == key && name != "-" {
			return i, true
		}
	}
	return 0, false
}

func keys(t reflect.Type) []string {
	var out []string
	for i := range t.NumField() {
		if name := t.Field(i).Tag.Get("yaml"); name != "" && name != "-" {
			out = append(out, name)
		}
	}
	return out
}

// Sort orders problems as they stand in the file.
func Sort(problems []Problem) {
	slices.SortStableFunc(problems, func(p, q Problem) int {
		if p.Line != q.Line {
			return p.Line - q.Line
		}
		return p.Column - q.Column
	})
}
