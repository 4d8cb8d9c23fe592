package bind

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"
	"laywright/internal/base/si"
)

// rounding is how far a number may be off by its unit's conversion, as a share.
const rounding = 1e-12

// bounds holds a number against its field's tags: `least` and `most` are the
// ends of what may be, `above` is an end that may not be reached. A tag `below`
// names the key that takes what is less than 0, as a size. An end that is written in
// another unit is the end, whatever its conversion rounds to.
func (b *Binder) bounds(v reflect.Value, tag reflect.StructTag, path string, n *yaml.Node) {
	x, ok := number(v)
	if !ok {
		return
	}
	for _, end := range []struct {
		tag   string
		wrong func(x, end float64) bool
		word  string
	}{
		{"above", func(x, end float64) bool { return !(x > end) }, "more than"},
		{"least", func(x, end float64) bool { return !(x >= end-rounding*math.Abs(end)) }, "at least"},
		{"most", func(x, end float64) bool { return !(x <= end+rounding*math.Abs(end)) }, "at most"},
	} {
		text, set := tag.Lookup(end.tag)
		if !set {
			continue
		}
		limit, err := strconv.ParseFloat(text, 64)
		if err == nil && end.wrong(x, limit) {
			b.Fail(path, n, "%s is %s; it must be %s %s%s", last(path), n.Value, end.word, shown(v, limit), instead(tag, n.Value))
		}
	}
}

// instead says under which key to write a number less than 0, empty for none.
func instead(tag reflect.StructTag, text string) string {
	size, negative := strings.CutPrefix(text, "-")
	if key, set := tag.Lookup("below"); set && negative {
		return fmt.Sprintf("; write %s: %q", key, size)
	}
	return ""
}

// number returns the size of a number, or of what a pointer to one points to.
func number(v reflect.Value) (float64, bool) {
	if v.Kind() == reflect.Pointer && !v.IsNil() {
		v = v.Elem()
	}
	switch {
	case v.CanFloat():
		return v.Float(), true
	case v.CanInt():
		return float64(v.Int()), true
	}
	return 0, false
}

// shown writes a limit in the units of the field's kind, metric and US.
func shown(v reflect.Value, limit float64) string {
	t := v.Type()
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	k, quantity := KindOf(t)
	switch {
	case !quantity:
		return fmt.Sprint(limit)
	case k.Unit == "":
		return fmt.Sprintf("%g (%g %%)", limit, 100*limit)
	}
	metric, us := si.ShowKind(limit, k, si.Metric, 4), si.ShowKind(limit, k, si.US, 4)
	if limit == 0 && k.Name != "temperature" {
		return "0"
	}
	return metric + " (" + us + ")"
}
