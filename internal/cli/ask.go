package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"laywright/internal/base/bind"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/doc/answer"
	"laywright/internal/job"
)

type askOptions struct {
	keep, library, units string
	json                 bool
}

func askCommand(t terminal) *cobra.Command {
	c := &cobra.Command{
		Use:   "ask " + strings.Join(questionNames(), "|"),
		Short: "Answer one question without a job file",
		Long: `Answers one question from a few flags, on one screen: the answer, how it was worked
out, what was taken where you did not say, and what to mind. Every value is a number
with its unit, metric or US, as in a job file. A question without flags tells what it
needs. An answer is the plan of a small job; --job NAME keeps that job.

Exit status: 0 an answer, 1 a value was refused, 2 the command was not understood.`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return nil
			}
			return noQuestion(args[0])
		},
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	for _, q := range questions {
		c.AddCommand(questionCommand(t, q))
	}
	return c
}

func noQuestion(word string) error {
	if near, ok := bind.Nearest(word, questionNames()); ok {
		return fmt.Errorf("no question is called %s; did you mean laywright ask %s?", word, near)
	}
	return fmt.Errorf("no question is called %s; ask one of %s", word, strings.Join(questionNames(), ", "))
}

func questionCommand(t terminal, q question) *cobra.Command {
	var o askOptions
	given := map[string]*string{}
	c := &cobra.Command{
		Use:     q.name,
		Short:   q.short,
		Example: "  " + q.example,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return fmt.Errorf("%s is left over; a value with its unit stands in quotes, like --%s %s", args[0], q.flags[0].name, shellQuote(q.flags[0].example))
			}
			return nil
		},
		RunE: func(c *cobra.Command, _ []string) error {
			told := map[string]string{}
			for _, f := range q.flags {
				if c.Flags().Changed(f.name) {
					told[f.name] = *given[f.name]
				}
			}
			if c.Flags().NFlag() == 0 {
				_, err := io.WriteString(t.out, q.needs())
				return err
			}
			return runAsk(c.Context(), t, q, told, o)
		},
	}
	for _, f := range q.flags {
		given[f.name] = c.Flags().String(f.name, "", f.usage())
	}
	c.Flags().StringVar(&o.keep, "job", "", "keep the question as the start of a job: the file to write")
	c.Flags().BoolVar(&o.json, "json", false, "print the stages' part of plan.json instead of the answer")
	c.Flags().StringVar(&o.library, "library", "", "your own library file, laid over the built-in one")
	c.Flags().StringVar(&o.units, "units", "", "units of the answer: metric or us (default: those of the flags)")
	c.SetFlagErrorFunc(func(c *cobra.Command, err error) error { return q.flagError(c, err) })
	return c
}

// flagError offers the nearest flag, or the question that the flag belongs to.
func (q question) flagError(c *cobra.Command, err error) error {
	_, word, unknown := strings.Cut(err.Error(), "unknown flag: --")
	if !unknown {
		return err
	}
	for _, only := range []bool{true, false} { // a question that needs it before one that takes it
		for _, other := range questions {
			if f, ok := other.flag(word); ok && (f.needed || !only) {
				return fmt.Errorf("--%s is no flag of ask %s; laywright ask %s has it", word, q.name, other.name)
			}
		}
	}
	var names []string
	c.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	if near, ok := bind.Nearest(word, names); ok {
		return fmt.Errorf("--%s is no flag of ask %s; did you mean --%s?", word, q.name, near)
	}
	return fmt.Errorf("--%s is no flag of ask %s; laywright ask %s tells what it needs", word, q.name, q.name)
}

// runAsk writes the question as a job, plans it, and tells the plan's answer.
func runAsk(ctx context.Context, t terminal, q question, told map[string]string, o askOptions) error {
	if lacks := q.lacking(told); lacks != "" {
		return fmt.Errorf("%s\n%s", lacks, q.example)
	}
	system, err := unitsOf(o.units, told)
	if err != nil {
		return err
	}
	library, err := materials(o.library)
	if err != nil {
		return refuse(t, err.Error())
	}
	source, plan, err := q.plan(ctx, told, system, library)
	if err != nil {
		return refuse(t, err.Error())
	}
	if o.keep != "" {
		name, err := writeNew(o.keep, source)
		if err != nil {
			return refuse(t, err.Error())
		}
		fmt.Fprintf(t.err, "%s written. Change it, then: laywright plan %s\n", name, name)
	}
	if o.json {
		return writeStages(t.out, plan, q.stages)
	}
	a, err := q.answer(plan)
	if err != nil {
		return refuse(t, err.Error())
	}
	a.Taken = q.taken(told)
	return a.Write(t.out)
}

// plan writes the question as a job and plans it. An error tells what is wrong by the
// flags.
func (q question) plan(ctx context.Context, told map[string]string, system si.System, library material.Set) (source []byte, plan job.Plan, err error) {
	if f, ok := q.unreadable(told); ok {
		return nil, plan, fmt.Errorf("--%s: is %q; write %s, like %s", f.name, told[f.name], f.about, shellQuote(f.example))
	}
	source, problems := q.jobFile(told, system)
	if len(problems) > 0 {
		return nil, plan, errors.New(strings.Join(problems, "\n"))
	}
	f, wrong := job.Read(source)
	if len(wrong) > 0 {
		return nil, plan, errors.New(q.inFlags(wrong, told))
	}
	if plan, err = job.Make(ctx, f, job.Inputs{Library: library}); err != nil {
		return nil, plan, errors.New(q.inFlags(f.Locate(err), told))
	}
	return source, plan, nil
}

// writeStages prints those parts of plan.json that the question is about, with the
// findings.
func writeStages(w io.Writer, plan job.Plan, stages []string) error {
	text, err := json.Marshal(plan)
	if err != nil {
		return err
	}
	var whole map[string]json.RawMessage
	if err := json.Unmarshal(text, &whole); err != nil {
		return err
	}
	part := map[string]json.RawMessage{"findings": whole["findings"]}
	for _, name := range stages {
		if x, ok := whole[name]; ok {
			part[name] = x
		}
	}
	out := json.NewEncoder(w)
	out.SetIndent("", " ")
	return out.Encode(part)
}

// unitsOf is the system asked for, else that of the flags: one US unit among them is enough.
func unitsOf(asked string, told map[string]string) (si.System, error) {
	if asked != "" {
		return systemOf(asked)
	}
	for _, text := range told {
		if si.American(text) {
			return si.US, nil
		}
	}
	return si.Metric, nil
}

// inFlags tells what is wrong in a question's job file by the flags that it was
// written from, a line each.
func (q question) inFlags(problems []bind.Problem, told map[string]string) string {
	var lines []string
	for _, p := range problems {
		what := strings.Replace(p.What, "; the file says ", "; you wrote ", 1)
		f, ok := q.behind(p.Path, told)
		if ok {
			if _, rest, named := strings.Cut(what, p.Path); named {
				what = rest
			}
			what = strings.TrimPrefix(what, p.Path[strings.LastIndexByte(p.Path, '.')+1:])
			what = "--" + f.name + ": " + strings.TrimLeft(what, ": ")
		}
		if !slices.Contains(lines, what) {
			lines = append(lines, what)
		}
	}
	return strings.Join(lines, "\n")
}

// answer is the plan's answer to the question, as a screen of text.
func (q question) answer(plan job.Plan) (answer.Answer, error) {
	return answer.To(answer.Question(q.name), plan)
}
