// Package folder writes an output folder whole or not at all: files go into a
// new folder beside the wanted one, which takes its place when all are written.
package folder

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"

	"golang.org/x/sync/errgroup"
)

// File is one file to write: its path inside the folder and its content.
type File struct {
	Path  string
	Write func(io.Writer) error
}

// marker is the file that shows a folder to be an earlier output.
const marker = "plan.json"

// Put writes the files as folder dir. A former output at dir is replaced; a
// folder that holds anything else is left alone and refused. When ctx ends or a
// write fails nothing is left behind and a former output stays.
func Put(ctx context.Context, dir string, files []File) (err error) {
	if err := Check(dir); err != nil {
		return err
	}
	parent := filepath.Dir(filepath.Clean(dir))
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return err
	}
	fresh, err := os.MkdirTemp(parent, "."+filepath.Base(dir)+".new-")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			os.RemoveAll(fresh)
		}
	}()
	if err := writeAll(ctx, fresh, files); err != nil {
		return err
	}
	if err := os.Chmod(fresh, 0o755); err != nil {
		return err
	}
	return swap(fresh, dir)
}

// Check says why dir can't be written: it is no folder, or holds other things.
func Check(dir string) error {
	entries, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil
	case err != nil:
		return fmt.Errorf("%s can't be the output folder: %w", dir, err)
	case len(entries) == 0:
		return nil
	}
	if _, err := os.Stat(filepath.Join(dir, marker)); err != nil {
		return fmt.Errorf("%s holds other things and no plan; name an empty or a new folder with --out", dir)
	}
	return nil
}

// writeAll writes the files on all cores: the work is in what makes their content.
func writeAll(ctx context.Context, dir string, files []File) error {
	var group errgroup.Group
	group.SetLimit(runtime.GOMAXPROCS(0))
	for _, f := range files {
		group.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			if err := write(filepath.Join(dir, f.Path), f.Write); err != nil {
				return fmt.Errorf("%s: %w", f.Path, err)
			}
			return nil
		})
	}
	if err := group.Wait(); err != nil {
		return err
	}
	return ctx.Err()
}

func write(name string, content func(io.Writer) error) (err error) {
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		return err
	}
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	w := bufio.NewWriterSize(f, 1<<16)
	if err := content(w); err != nil {
		return err
	}
	return w.Flush()
}

// swap puts fresh in dir's place; the former one is kept until that is done.
func swap(fresh, dir string) error {
	former := fresh + ".former"
	hadOne := os.Rename(dir, former) == nil
	if err := os.Rename(fresh, dir); err != nil {
		if hadOne {
			err = errors.Join(err, os.Rename(former, dir))
		}
		return err
	}
	return os.RemoveAll(former)
}
