package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"time"

	"github.com/spf13/cobra"

	"laywright/internal/desk"
	"laywright/internal/httpapi"
	"laywright/internal/job"
	"laywright/web"
)

type serveOptions struct{ dir, listen, library, paper string }

func serveCommand(t terminal) *cobra.Command {
	var o serveOptions
	c := &cobra.Command{
		Use:   "serve",
		Short: "Open the app in the browser: see a job, change it, cut it",
		Long: `Serves the app to a browser on this machine. Jobs are the files *.job.yaml of the folder
and of those within it; they stay plain files, which any editor may change meanwhile.

Nobody else on the network can reach it. Ctrl+C ends it.`,
		Example: `  laywright serve
  laywright serve --dir examples`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return serve(c.Context(), t, o) },
	}
	c.Flags().StringVar(&o.dir, "dir", ".", "folder of the jobs")
	c.Flags().StringVar(&o.listen, "listen", "127.0.0.1:8317", "address of this machine to answer at; port 0 takes a free one")
	c.Flags().StringVar(&o.library, "library", "", "your own library file, laid over the built-in one")
	c.Flags().StringVar(&o.paper, "paper", "a4", "sheets of the tiled patterns: "+paperNames())
	return c
}

func serve(ctx context.Context, t terminal, o serveOptions) error {
	handler, err := app(o)
	if err != nil {
		return refuse(t, err.Error())
	}
	listener, err := listen(o.listen)
	if err != nil {
		return refuse(t, err.Error())
	}
	server := &http.Server{Handler: handler, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: time.Minute, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 64 << 10}
	fmt.Fprintf(t.out, "Laywright is open at http://%s\n", listener.Addr())
	done := make(chan error, 1)
	go func() { done <- server.Serve(listener) }()
	select {
	case err := <-done:
		return refuse(t, err.Error())
	case <-ctx.Done():
		server.Close() // texts are on the disk; a plan can be made again
		return nil
	}
}

// listen opens a port of this machine alone.
func listen(address string) (net.Listener, error) {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return nil, fmt.Errorf("--listen %s: write an address of this machine and a port, such as 127.0.0.1:8317", address)
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return nil, fmt.Errorf("--listen %s: only this machine may be served; write 127.0.0.1 and a port", address)
	}
	l, err := net.Listen("tcp", address)
	if err != nil {
		return nil, fmt.Errorf("%s can't be opened (%w); another one may run there: take --listen 127.0.0.1:0", address, err)
	}
	return l, nil
}

// app is the handler of the app.
func app(o serveOptions) (http.Handler, error) {
	on, err := paperNamed(o.paper)
	if err != nil {
		return nil, err
	}
	library, err := materials(o.library)
	if err != nil {
		return nil, err
	}
	if info, err := os.Stat(o.dir); err != nil || !info.IsDir() {
		return nil, errors.Join(fmt.Errorf("--dir %s is no folder", o.dir), err)
	}
	files := func(plan job.Plan) ([]httpapi.File, error) {
		text, err := encode(plan)
		if err != nil {
			return nil, err
		}
		made, err := outputs(plan, text, on)
		out := make([]httpapi.File, len(made))
		for i, f := range made {
			out[i] = httpapi.File{Path: f.Path, Write: f.Write}
		}
		return out, err
	}
	return httpapi.New(httpapi.Options{Room: &desk.Room{Dir: o.dir, Library: library, Inputs: readWithin(o.dir)}, Version: version, Starter: string(template),
		Schema: jobSchema, Files: files, Assets: web.Assets(), Asks: asks(library)}), nil
}

func jobSchema() ([]byte, error) {
	var out bytes.Buffer
	s := newRoot(terminal{out: &out, err: &out})
	s.SetArgs([]string{"schema", "job"})
	err := s.Execute()
	return out.Bytes(), err
}

// apiCommand prints the description of the app's own interface.
func apiCommand(t terminal) *cobra.Command {
	return &cobra.Command{Use: "api", Short: "Print the OpenAPI description of what serve answers", Args: cobra.NoArgs, Hidden: true,
		RunE: func(*cobra.Command, []string) error {
			text, err := httpapi.Describe("1")
			if err != nil {
				return err
			}
			var out bytes.Buffer
			if err := json.Indent(&out, text, "", " "); err != nil {
				return err
			}
			_, err = fmt.Fprintln(t.out, out.String())
			return err
		}}
}
