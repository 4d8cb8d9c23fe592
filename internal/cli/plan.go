package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"laywright/internal/base/material"
	"laywright/internal/job"
	"laywright/internal/store/folder"
)

type planOptions struct {
	out, library, paper string
	json, times, notes  bool
}

func planCommand(t terminal) *cobra.Command {
	var o planOptions
	c := &cobra.Command{
		Use:   "plan JOB.job.yaml",
		Short: "Work a job out: plan.json, full-size patterns, traveller",
		Long: `Works a job out and writes a folder with plan.json, patterns/ (DXF, SVG, HPGL and PDF at
full size), documents/ (traveller, a summary with the heater behind it, the cutting sheet, labels, how to build the
mould) and meshes/.

Exit status: 0 a plan was made, 1 the job was refused, 2 the command was not understood.
Findings and progress go to standard error.`,
		Example: `  laywright plan my-part.job.yaml
  laywright plan my-part.job.yaml --out evening-1
  laywright plan my-part.job.yaml --json | jq .wetout`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error { return runPlan(c.Context(), t, args[0], o) },
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"yaml"}, cobra.ShellCompDirectiveFilterFileExt
		},
	}
	c.Flags().StringVar(&o.out, "out", "", "folder to write (default: the job's name with .plan beside it)")
	c.Flags().BoolVar(&o.json, "json", false, "print plan.json alone; write a folder only with --out")
	c.Flags().BoolVar(&o.times, "times", false, "tell on standard error how long each stage took")
	c.Flags().BoolVar(&o.notes, "notes", false, "tell the reason and remedy of notes too")
	c.Flags().StringVar(&o.library, "library", "", "your own library file, laid over the built-in one")
	c.Flags().StringVar(&o.paper, "paper", "a4", "sheets of the tiled patterns: "+paperNames())
	return c
}

func runPlan(ctx context.Context, t terminal, name string, o planOptions) error {
	on, err := paperNamed(o.paper)
	if err != nil {
		return err
	}
	library, err := materials(o.library)
	if err != nil {
		return refuse(t, err.Error())
	}
	if o.out != "" || !o.json {
		o.out = outFolder(name, o)
		if err := folder.Check(o.out); err != nil {
			return refuse(t, err.Error())
		}
	}
	source, err := readWhole(name, jobSize)
	if err != nil {
		return refuse(t, err.Error())
	}
	f, problems := job.Read(source)
	if len(problems) > 0 {
		return refuse(t, listProblems(name, problems))
	}
	watch := newProgress(t)
	plan, err := makePlan(ctx, f, library, filepath.Dir(name), watch)
	watch.done()
	if o.times {
		watch.times(t.err)
	}
	switch {
	case errors.Is(err, context.Canceled):
		return refuse(t, "stopped; nothing was written")
	case err != nil:
		return refuse(t, listProblems(name, f.Locate(err)))
	}
	showFindings(t.err, plan.Findings, f.Spec.Show, o.notes)
	return writePlan(ctx, t, o, on, plan)
}

func makePlan(ctx context.Context, f job.File, library material.Set, dir string, watch *progress) (job.Plan, error) {
	in, err := readInputs(f.Spec, dir)
	if err != nil {
		return job.Plan{}, err
	}
	in.Library, in.Watch, in.Search = library, watch.stage, watch.search
	type made struct {
		plan job.Plan
		err  error
	}
	done := make(chan made, 1)
	go func() {
		plan, err := job.Make(ctx, f, in)
		done <- made{plan, err}
	}()
	select {
	case m := <-done:
		return m.plan, m.err
	case <-ctx.Done(): // a stage may take long to notice; nothing is written before all are done
		return job.Plan{}, ctx.Err()
	}
}

// writePlan prints plan.json or writes the folder, or both.
func writePlan(ctx context.Context, t terminal, o planOptions, on paper, plan job.Plan) error {
	text, err := encode(plan)
	if err != nil {
		return refuse(t, err.Error())
	}
	if o.out != "" {
		files, err := outputs(plan, text, on)
		if err == nil {
			err = folder.Put(ctx, o.out, files)
		}
		if err != nil {
			return refuse(t, fmt.Sprintf("%s: %v; nothing was written", o.out, err))
		}
	}
	if o.json {
		_, err = t.out.Write(text)
		return err
	}
	return summary(t.out, o.out, plan)
}

// outFolder is the folder to write: the one asked for, or the job's name with
// .plan beside it.
func outFolder(job string, o planOptions) string {
	if o.out != "" {
		return o.out
	}
	return strings.TrimSuffix(strings.TrimSuffix(job, ".yaml"), ".job") + ".plan"
}

// encode writes plan.json. A number that is none is a bug and is refused.
func encode(plan job.Plan) ([]byte, error) {
	text, err := json.MarshalIndent(plan, "", " ")
	return append(text, '\n'), err
}

func refuse(t terminal, text string) error {
	fmt.Fprintln(t.err, text)
	return refusal{errors.New(text)}
}

// jobSize bounds a job file; the largest sensible one is some hundred kilobytes.
const jobSize = 16 << 20

// readWhole reads a file of at most so many bytes.
func readWhole(name string, most int) ([]byte, error) {
	file, err := os.Open(name)
	if err != nil {
		return nil, plainPathError(err)
	}
	defer file.Close()
	if info, err := file.Stat(); err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		return nil, fmt.Errorf("%s is no ordinary file", name)
	}
	source, err := io.ReadAll(io.LimitReader(file, int64(most)+1))
	if err != nil {
		return nil, plainPathError(err)
	}
	if len(source) > most {
		return nil, fmt.Errorf("%s is larger than %d MB", name, most>>20)
	}
	return source, nil
}

// plainPathError says what is wrong with a file without the name of a system call.
func plainPathError(err error) error {
	var p *os.PathError
	if errors.As(err, &p) {
		return fmt.Errorf("%s: %w", p.Path, p.Err)
	}
	return err
}
