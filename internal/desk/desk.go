// Package desk keeps jobs open for work: the text of each with what was done and
// undone, its file beside, and the plan made of it.
//
// A job is a plain file in the folder. A text that can be read as a job is written to
// it at once; one that can't be waits in a draft beside it, so that the file is always
// the last good one. A file that another program changed is taken over as one more
// step. It reads and writes files; it knows nothing of HTTP.
package desk

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"os"
	"slices"
	"sync"

	"go.yaml.in/yaml/v4"

	"laywright/internal/base/bind"
	"laywright/internal/job"
)

// Desk is one job that is worked on. It is safe for several goroutines.
type Desk struct {
	ID string

	room *Room
	file string

	mu           sync.Mutex
	text         []byte
	saved        []byte // as the file was left
	past, future [][]byte
	count        int
	version      string
	moved        chan struct{} // closed when the version changes

	turn    chan struct{} // holds one token: one plan is made at a time
	running string        // the version that a plan is being made of; empty: none
	stop    func()        // ends that
	kept    job.Kept
	made    *Made
}

// mostSteps bounds what can be undone.
const mostSteps = 200

// State is a job as it stands.
type State struct {
	ID       string         `json:"id"`
	Version  string         `json:"version" doc:"changes with every change of the text"`
	Text     string         `json:"text"`
	Values   map[string]any `json:"values" doc:"the text as it stands, read as YAML; empty where it can't be"`
	Problems []bind.Problem `json:"problems" doc:"why the text is no job; empty where it is one"`
	Draft    bool           `json:"draft" doc:"the text can't be read as a job, and the file still holds the last that could"`
	Undo     bool           `json:"undo"`
	Redo     bool           `json:"redo"`
}

// Edit changes one value; a nil Text takes it out.
type Edit struct {
	Path string  `json:"path" doc:"as in wetout.cup_limit or laminate.stack[2].angle"`
	Text *string `json:"text" doc:"one line of YAML; null takes the value out" required:"false"`
}

// Stale says that the text has changed since the version that a change was made for.
type Stale struct{ Now State }

func (Stale) Error() string {
	return "the job was changed elsewhere meanwhile, in another window or by another program"
}

func (r *Room) openDesk(id, file string) (*Desk, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	d := &Desk{ID: id, room: r, file: file, text: text, saved: text, moved: make(chan struct{}), turn: make(chan struct{}, 1)}
	d.turn <- struct{}{}
	if draft, err := os.ReadFile(draftOf(file)); err == nil && !bytes.Equal(draft, text) {
		d.past, d.text = [][]byte{text}, draft
	}
	d.number()
	return d, nil
}

// number gives the text a version of its own, and wakes those who wait for it. A
// version holds a print of the text: after the program has been started anew none is
// taken for another.
func (d *Desk) number() {
	d.count++
	d.version = fmt.Sprintf("%d-%x", d.count, sha256.Sum256(d.text))[:16]
	close(d.moved)
	d.moved = make(chan struct{})
}

// State returns the job as it stands, with what another program did to its file.
func (d *Desk) State() (State, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.refresh(); err != nil {
		return State{}, err
	}
	return d.state(), nil
}

func (d *Desk) state() State {
	_, problems := job.Read(d.text)
	if problems == nil {
		problems = []bind.Problem{}
	}
	values := map[string]any{}
	if err := yaml.Unmarshal(d.text, &values); err != nil {
		values = map[string]any{}
	}
	return State{ID: d.ID, Version: d.version, Text: string(d.text), Values: values, Problems: problems, Draft: !bytes.Equal(d.text, d.saved),
		Undo: len(d.past) > 0, Redo: len(d.future) > 0}
}

// refresh takes over a file that another program changed.
func (d *Desk) refresh() error {
	now, err := os.ReadFile(d.file)
	if errors.Is(err, os.ErrNotExist) {
		return nil // it is written again with the next change
	}
	if err != nil || bytes.Equal(now, d.saved) {
		return err
	}
	d.saved = now
	d.step(now)
	return nil
}

// step puts a new text in the place of the one there is.
func (d *Desk) step(text []byte) {
	d.past = append(d.past, d.text)
	d.past = d.past[max(0, len(d.past)-mostSteps):]
	d.text, d.future = text, nil
	d.number()
}

// Edit changes values of the text of that version, all or none.
func (d *Desk) Edit(version string, edits []Edit) (State, error) {
	return d.change(version, func() error {
		text := d.text
		for _, e := range edits {
			var err error
			if e.Text == nil {
				text, err = bind.Take(text, e.Path)
			} else {
				text, err = bind.Put(text, e.Path, *e.Text)
			}
			if err != nil {
				return err
			}
		}
		d.step(text)
		return nil
	})
}

// Replace puts a whole text in the place of that version.
func (d *Desk) Replace(version, text string) (State, error) {
	return d.change(version, func() error {
		if string(d.text) != text {
			d.step([]byte(text))
		}
		return nil
	})
}

// Undo takes the last change back. Without one nothing happens.
func (d *Desk) Undo(version string) (State, error) {
	return d.change(version, func() error { d.shift(&d.past, &d.future); return nil })
}

// Redo does again what was undone last.
func (d *Desk) Redo(version string) (State, error) {
	return d.change(version, func() error { d.shift(&d.future, &d.past); return nil })
}

func (d *Desk) shift(from, to *[][]byte) {
	last := len(*from) - 1
	if last < 0 {
		return
	}
	*to = append(*to, d.text)
	d.text, *from = (*from)[last], slices.Clone((*from)[:last])
	d.number()
}

// change does what changes the text of a version, and writes the file. Where that
// fails the text stays as it was.
func (d *Desk) change(version string, do func() error) (State, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.refresh(); err != nil {
		return State{}, err
	}
	if version != d.version {
		return State{}, Stale{d.state()}
	}
	text, past, future := d.text, d.past, d.future
	if err := do(); err != nil {
		return State{}, err
	}
	if err := d.save(); err != nil {
		d.text, d.past, d.future = text, past, future
		d.number()
		return State{}, err
	}
	return d.state(), nil
}

// save writes the text: to the file if it is a job, else to the draft.
func (d *Desk) save() error {
	if _, problems := job.Read(d.text); len(problems) > 0 {
		return writeFile(draftOf(d.file), d.text)
	}
	if err := writeFile(d.file, d.text); err != nil {
		return err
	}
	d.saved = d.text
	if err := os.Remove(draftOf(d.file)); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return nil
}

// Moved is closed when the job is of another version than this.
func (d *Desk) Moved(version string) <-chan struct{} {
	d.mu.Lock()
	defer d.mu.Unlock()
	if version != d.version {
		closed := make(chan struct{})
		close(closed)
		return closed
	}
	return d.moved
}
