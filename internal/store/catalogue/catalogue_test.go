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
