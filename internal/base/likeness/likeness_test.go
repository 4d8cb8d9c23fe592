package likeness

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

type inner struct {
	a float64
	B *float64
}

type outer struct {
	Name   string
	Points []r3.Vec
	hidden []int
	By     map[string]inner
	Any    any
	Done   func()
}

func sample() outer {
	x := 2.5
	return outer{Name: "n", Points: []r3.Vec{{X: 1}, {Y: 2}}, hidden: []int{1, 2}, By: map[string]inner{"p": {1, &x}, "q": {2, nil}}, Any: 3}
}

// What is built anew from the same is alike; functions do not count.
func TestAlike(t *testing.T) {
	a, b := sample(), sample()
	b.Done = func() {}
	if Of(a) != Of(b) {
		t.Error("two of the same differ")
	}
	if Of(&a) == Of(a) {
		t.Error("a pointer prints as what it points to: nil and zero would be one")
	}
}

// Every change of one thing is seen: exported or not, behind a pointer, in a map.
func TestEachChangeSeen(t *testing.T) {
	base := Of(sample())
	y := math.Nextafter(2.5, 3)
	for name, change := range map[string]func(*outer){
		"text":          func(o *outer) { o.Name = "m" },
		"point":         func(o *outer) { o.Points[1].Z = 1e-300 },
		"fewer points":  func(o *outer) { o.Points = o.Points[:1] },
		"no points":     func(o *outer) { o.Points = nil },
		"hidden":        func(o *outer) { o.hidden[0] = 7 },
		"behind":        func(o *outer) { o.By["p"] = inner{1, &y} },
		"other key":     func(o *outer) { o.By["r"] = o.By["q"]; delete(o.By, "q") },
		"type in any":   func(o *outer) { o.Any = 3.0 },
		"minus nought":  func(o *outer) { o.Points[0].Y = math.Copysign(0, -1) },
		"pointer is no": func(o *outer) { o.By["p"] = inner{1, nil} },
	} {
		o := sample()
		change(&o)
		if Of(o) == base {
			t.Errorf("%s: not seen", name)
		}
	}
	if Of([]string{"ab", "c"}) == Of([]string{"a", "bc"}) {
		t.Error("borders of texts are not seen")
	}
	if Of([]float64{}) == Of([]float64(nil)) {
		t.Error("empty and none are one")
	}
}

// Lists have one print where they hold the same, and only there.
func TestLists(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOfN(rapid.Float64(), 1, 30)
		a, b := list.Draw(t, "a"), list.Draw(t, "b")
		same := len(a) == len(b)
		for i := range min(len(a), len(b)) {
			same = same && math.Float64bits(a[i]) == math.Float64bits(b[i])
		}
		if (Of(a) == Of(b)) != same {
			t.Fatalf("%v and %v", a, b)
		}
	})
}

func BenchmarkMesh(b *testing.B) {
	points, triangles := make([]r3.Vec, 50_000), make([][3]int32, 100_000)
	for b.Loop() {
		Of(struct {
			V []r3.Vec
			T [][3]int32
		}{points, triangles})
	}
}
