package cli

import (
	_ "embed"
	"errors"
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"
)

//go:embed template.job.yaml
var template []byte

func newCommand(t terminal) *cobra.Command {
	return &cobra.Command{
		Use:   "new NAME.job.yaml",
		Short: "Write a job file with remarks, ready to plan and to change",
		Args:  cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			name, err := writeNew(args[0], template)
			if err != nil {
				return refuse(t, err.Error())
			}
			fmt.Fprintf(t.out, "%s written. Change it, then: laywright plan %s\n", name, name)
			return nil
		},
	}
}

// writeNew writes a job file that is not there yet and returns its whole name.
func writeNew(name string, source []byte) (string, error) {
	if !strings.HasSuffix(name, ".job.yaml") {
		name += ".job.yaml"
	}
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, os.ErrExist) {
		return name, errors.New(name + " is there already and stays as it is; choose another name")
	}
	if err != nil {
		return name, plainPathError(err)
	}
	_, err = f.Write(source)
	return name, errors.Join(err, f.Close())
}
