package cli_test

import (
	"context"
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"laywright/internal/cli"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"laywright": func() {
			os.Exit(cli.Run(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
		},
	})
}

// The scripts are what a person types and sees.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata/script"})
}
