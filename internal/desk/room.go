package desk

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"

	"laywright/internal/base/material"
	"laywright/internal/job"
)

// Room is a folder of jobs.
type Room struct {
	Dir     string
	Library material.Set
	Inputs  func(s job.Spec, dir string) (job.Inputs, error) // reads the files that a job names, from its folder

	mu   sync.Mutex
	open map[string]*Desk
}

// Entry is one job of the folder.
type Entry struct {
	ID       string `json:"id"`
	File     string `json:"file" doc:"its path within the folder"`
	Name     string `json:"name"`
	Modified int64  `json:"modified_s" doc:"seconds since 1970"`
}

const (
	ending   = ".job.yaml"
	mostJobs = 500
	deepest  = 3 // folders
)

// Jobs lists the jobs of the folder and of those within it, by their paths.
func (r *Room) Jobs() ([]Entry, error) {
	out := []Entry{}
	err := filepath.WalkDir(r.Dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil {
			if path == r.Dir {
				return err
			}
			return fs.SkipDir // a folder that can't be read holds no jobs of ours
		}
		within, _ := filepath.Rel(r.Dir, path)
		if e.IsDir() {
			if within != "." && strings.HasPrefix(e.Name(), ".") || strings.Count(within, string(filepath.Separator)) >= deepest {
				return fs.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(path, ending) || !e.Type().IsRegular() || len(out) >= mostJobs {
			return nil
		}
		info, err := e.Info()
		if err != nil {
			return nil // gone meanwhile
		}
		id := idOf(within)
		if _, bad := r.fileOf(id); bad == nil {
			out = append(out, Entry{ID: id, File: filepath.ToSlash(within), Name: title(path), Modified: info.ModTime().Unix()})
		}
		return nil
	})
	return out, err
}

// title is the job's own name, or its file's.
func title(path string) string {
	if text, err := os.ReadFile(path); err == nil {
		if f, _ := job.Read(text); f.Spec.Job.Name != "" {
			return f.Spec.Job.Name
		}
	}
	return strings.TrimSuffix(filepath.Base(path), ending)
}

// An id is the path within the folder without its ending, a tilde for each slash.
func idOf(within string) string {
	return strings.ReplaceAll(strings.TrimSuffix(filepath.ToSlash(within), ending), "/", "~")
}

var (
	part = regexp.MustCompile(`^[\pL\pN_][\pL\pN_ .()+-]*$`)

	// ErrNoJob is that of an id that no job has.
	ErrNoJob = errors.New("there is no such job in the folder")
)

// fileOf is where the job of an id lies: always within the folder.
func (r *Room) fileOf(id string) (string, error) {
	parts := strings.Split(id, "~")
	if len(parts) > deepest+1 || slices.ContainsFunc(parts, func(p string) bool { return !part.MatchString(p) || strings.Contains(p, "..") }) {
		return "", fmt.Errorf("%q is no name for a job: use letters, digits, spaces, dots, dashes", id)
	}
	return filepath.Join(r.Dir, filepath.Join(parts...)) + ending, nil
}

// Open returns the desk of a job; the same for all who ask.
func (r *Room) Open(id string) (*Desk, error) {
	file, err := r.fileOf(id)
	if err != nil {
		return nil, err
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if d := r.open[id]; d != nil {
		return d, nil
	}
	if err := r.confined(file); err != nil {
		return nil, err
	}
	d, err := r.openDesk(id, file)
	if err != nil {
		return nil, err
	}
	if r.open == nil {
		r.open = map[string]*Desk{}
	}
	r.open[id] = d
	return d, nil
}

// confined refuses a file that a link leads out of the folder.
func (r *Room) confined(file string) error {
	real, err := filepath.EvalSymlinks(file)
	if errors.Is(err, os.ErrNotExist) {
		return ErrNoJob
	}
	if err != nil {
		return err
	}
	dir, err := filepath.EvalSymlinks(r.Dir)
	if err != nil {
		return err
	}
	if within, err := filepath.Rel(dir, real); err != nil || !filepath.IsLocal(within) {
		return fmt.Errorf("%s lies outside the folder", filepath.Base(file))
	}
	if info, err := os.Stat(real); err != nil || !info.Mode().IsRegular() || info.Size() > mostBytes {
		return fmt.Errorf("%s is no ordinary file, or larger than %d MB", filepath.Base(file), mostBytes>>20)
	}
	return nil
}

// mostBytes bounds a job file.
const mostBytes = 16 << 20

// Create writes a new job and opens it. One that is there already is left alone.
func (r *Room) Create(id, text string) (*Desk, error) {
	file, err := r.fileOf(id)
	if err != nil {
		return nil, err
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		return nil, err
	}
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, os.ErrExist) {
		return nil, fmt.Errorf("there is a job %s already; choose another name", strings.ReplaceAll(id, "~", "/"))
	}
	if err != nil {
		return nil, err
	}
	if err := errors.Join(f.Close(), writeFile(file, []byte(text))); err != nil {
		return nil, errors.Join(err, os.Remove(file))
	}
	return r.Open(id)
}

// draftOf is where a text waits that is no job yet.
func draftOf(file string) string {
	return filepath.Join(filepath.Dir(file), "."+filepath.Base(file)+".draft")
}

// writeFile puts a file in place whole, or not at all.
func writeFile(name string, text []byte) (err error) {
	f, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+".new-")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			os.Remove(f.Name())
		}
	}()
	if _, err := f.Write(text); err != nil {
		return errors.Join(err, f.Close())
	}
	if err := errors.Join(f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
}
