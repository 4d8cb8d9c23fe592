package cli

import (
	"fmt"
	"runtime/debug"

	"github.com/spf13/cobra"
)

// version of the program; the build may set another.
var version = "0.1.0"

func versionCommand(t terminal) *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the version",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			fmt.Fprintf(t.out, "laywright %s%s\n", version, revision())
			return nil
		},
	}
}

func revision() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return ""
	}
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" {
			return " (" + s.Value[:min(12, len(s.Value))] + ")"
		}
	}
	return ""
}
