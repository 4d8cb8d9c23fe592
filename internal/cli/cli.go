// Package cli is the command line: one file a verb. It reads files, calls the
// calculation, and writes text and files. Standard output carries the answer,
// standard error what a person watches: progress, findings, problems.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"
)

// Exit statuses.
const (
	exitDone    = 0
	exitRefused = 1 // the input was refused
	exitUsage   = 2 // the command was not understood
)

// refusal is an error of the input, already told to the person.
type refusal struct{ error }

// terminal is what the verbs read from and write to.
type terminal struct {
	in       io.Reader
	out, err io.Writer
}

// Run carries out one command and returns the exit status.
func Run(ctx context.Context, args []string, in io.Reader, out, errOut io.Writer) int {
	root := newRoot(terminal{in, out, errOut})
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errOut)
	err := root.ExecuteContext(ctx)
	var told refusal
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &told):
		return exitRefused
	}
	fmt.Fprintf(errOut, "laywright: %v\nRun 'laywright --help' for the commands.\n", err)
	return exitUsage
}

func newRoot(t terminal) *cobra.Command {
	root := &cobra.Command{
		Use:   "laywright",
		Short: "Plan a hand-laid, vacuum-bagged composite part from one job file",
		Long: `Laywright plans one hand-laid, vacuum-bagged composite part from one job file:
what the part must do, its mould, its laminate, the flat shape of every piece of
cloth, how they are cut from the roll, resin and cups, bag, cure, and the order
of work at the bench.

Start with:
  laywright new my-part.job.yaml     writes a job file with remarks
  laywright plan my-part.job.yaml    makes the plan, patterns and documents
  laywright ask resin                answers one question without a job file

The plan is advice to a builder. It is no approval of a part or an aircraft.`,
		SilenceUsage:  true,
		SilenceErrors: true,
		Args:          cobra.NoArgs,
		RunE:          func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.AddCommand(planCommand(t), askCommand(t), newCommand(t), serveCommand(t), libraryCommand(t), schemaCommand(t), apiCommand(t), versionCommand(t))
	return root
}
