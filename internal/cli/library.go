package cli

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"
	"laywright/internal/base/bind"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/store/catalogue"
)

func libraryCommand(t terminal) *cobra.Command {
	var own, show string
	c := &cobra.Command{
		Use:   "library [NAME]",
		Short: "List the materials, or show one with where each value comes from",
		Args:  cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			system, err := systemOf(show)
			if err != nil {
				return err
			}
			set, err := materials(own)
			if err != nil {
				fmt.Fprintln(t.err, err)
				return refusal{err}
			}
			if len(args) == 0 {
				listLibrary(t, set)
				return nil
			}
			return showRecord(t, set, args[0], system)
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			set, err := catalogue.Library()
			if err != nil {
				return nil, cobra.ShellCompDirectiveError
			}
			return recordNames(set), cobra.ShellCompDirectiveNoFileComp
		},
	}
	c.Flags().StringVar(&own, "library", "", "your own library file, laid over the built-in one")
	c.Flags().StringVar(&show, "show", "metric", "units to show: metric or us")
	return c
}

func systemOf(show string) (si.System, error) {
	switch s := si.System(show); s {
	case si.Metric, si.US:
		return s, nil
	case "":
		return si.Metric, nil
	}
	return "", fmt.Errorf("units are %q; write metric or us", show)
}

// materials returns the library with a person's own file over it.
func materials(own string) (material.Set, error) {
	set, err := catalogue.Library()
	if err != nil || own == "" {
		return set, err
	}
	source, err := readWhole(own, jobSize)
	if err != nil {
		return set, err
	}
	over, problems := catalogue.Read(source)
	if len(problems) > 0 {
		return set, errors.New(listProblems(own, problems))
	}
	return set.Over(over), nil
}

// listProblems writes a file's problems a line each: file:line:column: what.
func listProblems(name string, problems []bind.Problem) string {
	var b strings.Builder
	for i, p := range problems {
		if i > 0 {
			b.WriteByte('\n')
		}
		fmt.Fprintf(&b, "%s:%d:%d: %s", name, p.Line, p.Column, p.What)
	}
	return b.String()
}

// eachSection visits the set's maps in their order.
func eachSection(set material.Set, visit func(kind string, records reflect.Value)) {
	v := reflect.ValueOf(set)
	for i := range v.NumField() {
		visit(v.Type().Field(i).Tag.Get("yaml"), v.Field(i))
	}
}

func sortedKeys(m reflect.Value) []string {
	var names []string
	for _, k := range m.MapKeys() {
		names = append(names, k.String())
	}
	slices.Sort(names)
	return names
}

func recordNames(set material.Set) (names []string) {
	eachSection(set, func(_ string, records reflect.Value) { names = append(names, sortedKeys(records)...) })
	return names
}

func listLibrary(t terminal, set material.Set) {
	w := tabwriter.NewWriter(t.out, 2, 8, 2, ' ', 0)
	eachSection(set, func(kind string, records reflect.Value) {
		names := sortedKeys(records)
		if len(names) == 0 {
			return
		}
		fmt.Fprintf(w, "%s\n", kind)
		for _, name := range names {
			note := records.MapIndex(reflect.ValueOf(name)).FieldByName("Note")
			fmt.Fprintf(w, "  %s\t%s\n", name, note)
		}
	})
	w.Flush()
}

func showRecord(t terminal, set material.Set, name string, s si.System) error {
	found := false
	eachSection(set, func(kind string, records reflect.Value) {
		r := records.MapIndex(reflect.ValueOf(name))
		if !r.IsValid() {
			return
		}
		found = true
		fmt.Fprintf(t.out, "%s (%s)\n", name, kind)
		w := tabwriter.NewWriter(t.out, 2, 8, 2, ' ', 0)
		fmt.Fprintf(w, "  \tvalue\tat\tusual range\thow known\tsource\n")
		showFields(w, "  ", r, s)
		w.Flush()
	})
	if !found {
		_, err := material.Pick(map[string]bool{}, "material", "library", name)
		if near, ok := bind.Nearest(name, recordNames(set)); ok {
			err = fmt.Errorf("no material is called %s; did you mean %s?", name, near)
		}
		fmt.Fprintln(t.err, err)
		return refusal{err}
	}
	return nil
}

func showFields(w *tabwriter.Writer, indent string, r reflect.Value, s si.System) {
	for i := range r.NumField() {
		key, f := r.Type().Field(i).Tag.Get("yaml"), r.Field(i)
		showField(w, indent, key, f, s)
	}
}

func showField(w *tabwriter.Writer, indent, key string, f reflect.Value, s si.System) {
	if f.Kind() == reflect.Pointer {
		if f.IsNil() {
			return
		}
		f = f.Elem()
	}
	if line, datum := datumLine(f, s); datum {
		if line != "" {
			fmt.Fprintf(w, "%s%s\t%s\n", indent, key, line)
		}
		return
	}
	k, quantity := bind.KindOf(f.Type())
	switch {
	case f.IsZero():
	case quantity:
		fmt.Fprintf(w, "%s%s\t%s\n", indent, key, si.ShowKind(f.Float(), k, s, 4))
	case f.Kind() == reflect.Struct:
		fmt.Fprintf(w, "%s%s\n", indent, key)
		showFields(w, indent+"  ", f, s)
	case f.Kind() == reflect.Slice:
		for i := range f.Len() {
			showField(w, indent, fmt.Sprintf("%s %d", key, i+1), f.Index(i), s)
		}
	default:
		fmt.Fprintf(w, "%s%s\t%v\n", indent, key, f)
	}
}

// datumLine writes a material.Datum as value, temperature, range, origin, source.
func datumLine(f reflect.Value, s si.System) (line string, datum bool) {
	if f.Kind() != reflect.Struct || !f.FieldByName("Known").IsValid() {
		return "", false
	}
	if !f.FieldByName("Known").Bool() {
		return "", true
	}
	v := f.FieldByName("Value")
	k, _ := bind.KindOf(v.Type())
	at, spread := "", ""
	if t := si.Temperature(f.FieldByName("At").Float()); t > 0 {
		at = si.Show(t, s, 3)
	}
	if half := f.FieldByName("Spread").Float(); half > 0 {
		if k.Name == "temperature" {
			spread = "± " + si.Show(si.TemperatureDifference(half), s, 2)
		} else {
			spread = "± " + si.ShowKind(half, k, s, 2)
		}
	}
	return fmt.Sprintf("%s\t%s\t%s\t%s\t%s", si.ShowKind(v.Float(), k, s, 4), at, spread,
		f.FieldByName("Origin"), f.FieldByName("Source")), true
}
