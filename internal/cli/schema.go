package cli

import (
	"encoding/json"
	"fmt"
	"reflect"

	"github.com/invopop/jsonschema"
	"github.com/spf13/cobra"
	"laywright/internal/base/bind"
	"laywright/internal/base/si"
	"laywright/internal/job"
)

func schemaCommand(t terminal) *cobra.Command {
	return &cobra.Command{
		Use:       "schema job|plan",
		Short:     "Print the JSON Schema of the job file or of plan.json",
		Args:      cobra.MatchAll(cobra.ExactArgs(1), cobra.OnlyValidArgs),
		ValidArgs: []string{"job", "plan"},
		RunE: func(_ *cobra.Command, args []string) error {
			s := schemaOf(reflect.TypeFor[job.Spec](), "yaml")
			s.Title = "Laywright job file"
			if args[0] == "plan" {
				s = schemaOf(reflect.TypeFor[job.Plan](), "json")
				s.Title = "Laywright plan"
			}
			text, err := json.MarshalIndent(s, "", "  ")
			if err != nil {
				return err
			}
			fmt.Fprintf(t.out, "%s\n", text)
			return nil
		},
	}
}

// schemaOf reflects a type whose keys stand in the given struct tag.
func schemaOf(root reflect.Type, tag string) *jsonschema.Schema {
	m := mapper{tag: tag, reading: map[reflect.Type]bool{}}
	s := m.reflect(root)
	s.Version = jsonschema.Version
	return s
}

// mapper writes quantities, values with several forms and records in their place.
type mapper struct {
	tag     string
	reading map[reflect.Type]bool // guards against types that hold themselves
}

func (m mapper) reflect(t reflect.Type) *jsonschema.Schema {
	r := jsonschema.Reflector{FieldNameTag: m.tag, DoNotReference: true, Anonymous: true,
		RequiredFromJSONSchemaTags: true, Mapper: m.special}
	s := r.ReflectFromType(t)
	s.Version = ""
	return s
}

func (m mapper) special(t reflect.Type) *jsonschema.Schema {
	if k, ok := bind.KindOf(t); ok {
		return m.quantity(k)
	}
	formed, ok := reflect.Zero(t).Interface().(bind.Formed)
	if m.tag != "yaml" || !ok || m.reading[t] {
		return nil
	}
	m.reading[t] = true
	defer delete(m.reading, t)
	var forms []*jsonschema.Schema
	for _, f := range formed.Forms() {
		if word, isText := f.(string); isText {
			forms = append(forms, &jsonschema.Schema{Const: word})
			continue
		}
		forms = append(forms, m.form(reflect.TypeOf(f)))
	}
	if len(forms) == 1 {
		return forms[0]
	}
	return &jsonschema.Schema{AnyOf: forms}
}

func (m mapper) form(t reflect.Type) *jsonschema.Schema {
	if s := m.special(t); s != nil {
		return s
	}
	return m.reflect(t)
}

func (m mapper) quantity(k si.Kind) *jsonschema.Schema {
	if m.tag == "json" {
		return &jsonschema.Schema{Type: "number", Description: k.Name + " in the unit that ends the key"}
	}
	text := &jsonschema.Schema{Type: "string", Description: k.Name + ": a number, a space, a unit", Examples: []any{k.Example}}
	if k.Name != si.Fraction(0).Kind().Name {
		return text
	}
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{{Type: "number"}, text}}
}
