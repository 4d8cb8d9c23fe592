package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"go.yaml.in/yaml/v4"
	"laywright/internal/base/bind"
	"laywright/internal/job"
)

// Every type that reads itself says in which forms it may be written, so that
// the published schema is true.
func TestEveryBindingHasForms(t *testing.T) {
	binding, formed := reflect.TypeFor[bind.Binding](), reflect.TypeFor[bind.Formed]()
	seen := map[reflect.Type]bool{}
	var walk func(reflect.Type)
	walk = func(x reflect.Type) {
		if seen[x] {
			return
		}
		seen[x] = true
		if x.Kind() == reflect.Struct && reflect.PointerTo(x).Implements(binding) && !reflect.PointerTo(x).Implements(formed) {
			t.Errorf("%v reads itself but has no Forms", x)
		}
		switch x.Kind() {
		case reflect.Pointer, reflect.Slice, reflect.Map:
			walk(x.Elem())
		case reflect.Struct:
			for i := range x.NumField() {
				walk(x.Field(i).Type)
			}
		}
	}
	walk(reflect.TypeFor[job.Spec]())
}

// Every key of the examples stands in the schema, and nothing is in the schema
// under a name that the reader does not know.
func TestSchemaKnowsTheExamples(t *testing.T) {
	text, err := json.Marshal(schemaOf(reflect.TypeFor[job.Spec](), "yaml"))
	if err != nil {
		t.Fatal(err)
	}
	var schema map[string]any
	if err := json.Unmarshal(text, &schema); err != nil {
		t.Fatal(err)
	}
	files, _ := filepath.Glob("../../examples/*/*.job.yaml")
	if len(files) < 4 {
		t.Fatalf("%d examples", len(files))
	}
	for _, name := range files {
		source, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		var tree any
		if err := yaml.Unmarshal(source, &tree); err != nil {
			t.Fatal(err)
		}
		if why := fits(schema, tree, ""); why != "" {
			t.Errorf("%s: %s", filepath.Base(name), why)
		}
	}
}

// fits checks a value against the few words of JSON Schema that ours uses. It
// returns what does not fit.
func fits(schema map[string]any, v any, at string) string {
	if forms, ok := schema["anyOf"].([]any); ok {
		why := ""
		for _, s := range forms {
			if why = fits(s.(map[string]any), v, at); why == "" {
				return ""
			}
		}
		return why
	}
	if c, ok := schema["const"]; ok {
		if c != v {
			return at + " is not " + c.(string)
		}
		return ""
	}
	switch x := v.(type) {
	case map[string]any:
		if schema["type"] != "object" {
			return at + " should not have keys"
		}
		props, _ := schema["properties"].(map[string]any)
		rest, _ := schema["additionalProperties"].(map[string]any)
		for k, child := range x {
			s, ok := props[k].(map[string]any)
			if !ok {
				if s = rest; s == nil {
					return at + "." + k + " is not in the schema"
				}
			}
			if why := fits(s, child, at+"."+k); why != "" {
				return why
			}
		}
	case []any:
		items, ok := schema["items"].(map[string]any)
		if !ok {
			return at + " should be no list"
		}
		for _, child := range x {
			if why := fits(items, child, at+"[]"); why != "" {
				return why
			}
		}
	case string:
		if schema["type"] != "string" {
			return at + " should be no text"
		}
	}
	return ""
}
