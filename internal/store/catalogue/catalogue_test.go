package catalogue

import (
	"reflect"
	"strings"
	"testing"

	"laywright/internal/base/material"
)

func TestLibraryLoads(t *testing.T) {
	set, err := Library()
	if err != nil {
		t.Fatal(err)
	}
	for name, f := range set.Fabrics {
		if _, ok := set.Fibres[f.Fibre]; !ok {
			t.Errorf("fabric %s names the fibre %q, which is not there", name, f.Fibre)
		}
	}
	for kind, counts := range map[string][2]int{
		"fabrics": {len(set.Fabrics), 10}, "cores": {len(set.Cores), 4}, "moulds": {len(set.Moulds), 8},
	} {
		if counts[0] < counts[1] {
			t.Errorf("%d %s, want at least %d", counts[0], kind, counts[1])
		}
	}
}

// The names that a job may count on (contract of the job file).
func TestNamesThatJobsCountOn(t *testing.T) {
	set, err := Library()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range strings.Fields(`carbon-plain-193 carbon-twill-200 carbon-light-120 carbon-spread-80 carbon-ud-300 glass-satin-300
		glass-twill-290 glass-plain-200 glass-light-105 glass-fine-48 aramid-plain-170`) {
		if _, ok := set.Fabrics[name]; !ok {
			t.Errorf("no fabric %s", name)
		}
	}
	for _, name := range strings.Fields("carbon-hs e-glass aramid") {
		if _, ok := set.Fibres[name]; !ok {
			t.Errorf("no fibre %s", name)
		}
	}
	for _, name := range strings.Fields("laminating-epoxy-slow laminating-epoxy-fast high-temperature-epoxy medium-heat-epoxy toughened-epoxy") {
		if _, ok := set.Resins[name]; !ok {
			t.Errorf("no resin %s", name)
		}
	}
	for _, name := range strings.Fields("peel-ply-80 bleeder-150 release-film-perforated bag-film-nylon-50") {
		if _, ok := set.Consumables[name]; !ok {
			t.Errorf("no consumable %s", name)
		}
	}
	if _, ok := set.Cores["pvc-foam-80"]; !ok {
		t.Error("no core pvc-foam-80")
	}
}

// Each datum of the library says how it is known and where from.
func TestEveryValueHasItsOrigin(t *testing.T) {
	set, err := Library()
	if err != nil {
		t.Fatal(err)
	}
	walk(t, "", reflect.ValueOf(set))
}

func walk(t *testing.T, at string, v reflect.Value) {
	switch v.Kind() {
	case reflect.Map:
		for _, key := range v.MapKeys() {
			walk(t, at+"."+key.String(), v.MapIndex(key))
		}
	case reflect.Pointer:
		if !v.IsNil() {
			walk(t, at, v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			walk(t, at, v.Index(i))
		}
	case reflect.Struct:
		known, source := v.FieldByName("Known"), v.FieldByName("Source")
		if known.IsValid() && known.Kind() == reflect.Bool {
			origin := material.Origin(v.FieldByName("Origin").String())
			if known.Bool() && (origin == material.Given || source.String() == "") {
				t.Errorf("%s has no origin or source", at)
			}
			return
		}
		for i := range v.NumField() {
			walk(t, at+"."+v.Type().Field(i).Name, v.Field(i))
		}
	}
}

// The tightest hollows by class of cloth, mm: builders' rule, see [trade-radius].
// Light cloths, and a cloth a size heavier with a looser weave, may go a step
// further; outer radii lie from 0.5 to 3 mm.
func TestRadiiFollowTheRule(t *testing.T) {
	set, err := Library()
	if err != nil {
		t.Fatal(err)
	}
	for name, f := range set.Fabrics {
		if !f.MinRadius.Known || !f.MinOuter.Known {
			t.Errorf("%s has no radius", name)
			continue
		}
		heavy := f.ArealMass.Value > 0.210
		low, high := 2.0, 3.5 // light twill and satin
		switch {
		case f.Weave == material.SpreadTow:
			low, high = 6, 6
		case f.Weave == material.Unidirectional:
			low, high = 10, 10 // along the fibres
		case f.Weave == material.Plain && f.ArealMass.Value > 0.150:
			low, high = 4, 6
		case heavy || len(f.Second) > 0:
			low, high = 5, 6
		}
		if r := 1e3 * float64(f.MinRadius.Value); r < low || r > high {
			t.Errorf("%s goes into %.1f mm, the rule says %g to %g", name, r, low, high)
		}
		if r := 1e3 * float64(f.MinOuter.Value); r < 0.5 || r > 3 {
			t.Errorf("%s goes round %.1f mm", name, r)
		}
	}
}

// Every mould material says what it bears, how much of that is left when warm, and
// what it bears for hours; fillet wax is no body.
func TestMouldsSayWhatTheyBear(t *testing.T) {
	set, err := Library()
	if err != nil {
		t.Fatal(err)
	}
	for name, m := range set.Moulds {
		if name == "fillet-wax" {
			continue
		}
		if !(m.Compression.Known && m.Bending.Known && m.E.Known && m.Nu.Known && m.LeftAtLimit.Known && m.Lasting.Known && m.Limit.Known) {
			t.Errorf("%s lacks a value", name)
		}
		if left := m.LeftAtLimit.Value; left <= 0 || left > 1 || m.Lasting.Value <= 0 || m.Lasting.Value > 1 {
			t.Errorf("%s: shares %v and %v", name, left, m.Lasting.Value)
		}
	}
}
