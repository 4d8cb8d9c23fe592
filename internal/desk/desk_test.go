package desk

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"laywright/internal/job"
	"laywright/internal/store/catalogue"
)

const cureOnly = `laywright: 1
shop: {temperature: "20 degC"}   # by the window
cure:
  resin: laminating-epoxy-slow
  schedule: {unit: [h, degC], points: [[0, 20], [24, 20]]}
`

func room(t *testing.T) *Room {
	t.Helper()
	library, err := catalogue.Library()
	if err != nil {
		t.Fatal(err)
	}
	return &Room{Dir: t.TempDir(), Library: library, Inputs: func(job.Spec, string) (job.Inputs, error) { return job.Inputs{}, nil }}
}

func desk(t *testing.T) (*Room, *Desk, string) {
	t.Helper()
	r := room(t)
	d, err := r.Create("cure", cureOnly)
	if err != nil {
		t.Fatal(err)
	}
	s, err := d.State()
	if err != nil {
		t.Fatal(err)
	}
	return r, d, s.Version
}

func onDisk(t *testing.T, r *Room) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(r.Dir, "cure.job.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func ptr(s string) *string { return &s }

func TestEditUndoRedo(t *testing.T) {
	r, d, v := desk(t)
	warm, err := d.Edit(v, []Edit{{"shop.temperature", ptr(`"25 degC"`)}, {"cure.in", ptr("room")}})
	if err != nil || !strings.Contains(warm.Text, `{temperature: "25 degC"}   # by the window`) || !strings.Contains(warm.Text, "  in: room\n") {
		t.Fatalf("%v\n%s", err, warm.Text)
	}
	if onDisk(t, r) != warm.Text {
		t.Error("the file does not hold the change")
	}
	back, err := d.Undo(warm.Version)
	if err != nil || back.Text != cureOnly || back.Undo || !back.Redo || onDisk(t, r) != cureOnly {
		t.Errorf("undone: %v %+v", err, back)
	}
	again, err := d.Redo(back.Version)
	if err != nil || again.Text != warm.Text || again.Redo || again.Version == warm.Version {
		t.Errorf("done again: %v %+v", err, again)
	}
}

// All edits of a change are made or none.
func TestEditIsWhole(t *testing.T) {
	r, d, v := desk(t)
	if _, err := d.Edit(v, []Edit{{"shop.temperature", ptr(`"25 degC"`)}, {"shop.humidity", nil}}); err == nil {
		t.Error("a value that is not there was taken out")
	}
	if onDisk(t, r) != cureOnly {
		t.Error("half of a change was kept")
	}
}

// A second window that does not know of a change is told and changes nothing.
func TestTwoWindows(t *testing.T) {
	_, d, v := desk(t)
	moved := d.Moved(v)
	if _, err := d.Edit(v, []Edit{{"shop.temperature", ptr(`"25 degC"`)}}); err != nil {
		t.Fatal(err)
	}
	select {
	case <-moved:
	case <-time.After(5 * time.Second):
		t.Error("the other window was not woken")
	}
	var stale Stale
	if _, err := d.Edit(v, []Edit{{"shop.temperature", ptr(`"15 degC"`)}}); !errors.As(err, &stale) || !strings.Contains(stale.Now.Text, "25 degC") {
		t.Errorf("the second window's change: %v", err)
	}
}

// A text that is no job leaves the file as it was, and is there again after a restart.
func TestDraft(t *testing.T) {
	r, d, v := desk(t)
	broken, err := d.Replace(v, "laywright: 1\nshop: {temperatur: \"25 degC\"}\n")
	if err != nil || len(broken.Problems) == 0 || !broken.Draft {
		t.Fatalf("%v %+v", err, broken)
	}
	if onDisk(t, r) != cureOnly {
		t.Error("a broken text was written over a good file")
	}
	later := &Room{Dir: r.Dir, Library: r.Library, Inputs: r.Inputs}
	opened, err := later.Open("cure")
	if err != nil {
		t.Fatal(err)
	}
	s, err := opened.State()
	if err != nil || s.Text != broken.Text || !s.Draft || !s.Undo {
		t.Errorf("after a restart: %v %+v", err, s)
	}
	good, err := opened.Undo(s.Version)
	if err != nil || good.Text != cureOnly || good.Draft {
		t.Errorf("back to the good one: %v %+v", err, good)
	}
	if left, _ := filepath.Glob(filepath.Join(r.Dir, ".*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// What an editor did to the file is one more step.
func TestOtherProgram(t *testing.T) {
	r, d, v := desk(t)
	mine := strings.Replace(cureOnly, "20 degC", "18 degC", 1)
	if err := os.WriteFile(filepath.Join(r.Dir, "cure.job.yaml"), []byte(mine), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := d.Edit(v, []Edit{{"shop.temperature", ptr(`"25 degC"`)}}); err == nil {
		t.Error("a change went over what the editor wrote")
	}
	s, err := d.State()
	if err != nil || s.Text != mine || !s.Undo {
		t.Errorf("%v %+v", err, s)
	}
}

// A change that can't be written is refused, and the text stays as it was.
func TestReadOnly(t *testing.T) {
	if os.Getuid() == 0 {
		t.Skip("the superuser writes everywhere")
	}
	r, d, v := desk(t)
	if err := os.Chmod(r.Dir, 0o555); err != nil {
		t.Fatal(err)
	}
	defer os.Chmod(r.Dir, 0o755)
	if _, err := d.Edit(v, []Edit{{"shop.temperature", ptr(`"25 degC"`)}}); err == nil {
		t.Error("written into a folder that can't be written")
	}
	if s, _ := d.State(); s.Text != cureOnly {
		t.Error("the text changed")
	}
}

func TestIDsStayWithin(t *testing.T) {
	r := room(t)
	outside := filepath.Join(t.TempDir(), "other.job.yaml")
	if err := os.WriteFile(outside, []byte(cureOnly), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, filepath.Join(r.Dir, "link.job.yaml")); err != nil {
		t.Fatal(err)
	}
	for _, id := range []string{"", "..", "../x", "a~..~b", "/etc/passwd", "a\x00b", "~x", "-rf", ".hidden", "link", "a/b", `a\b`, "nothing", strings.Repeat("d~", 9) + "x"} {
		if d, err := r.Open(id); err == nil {
			t.Errorf("%q opened %s", id, d.file)
		}
	}
	if _, err := r.Create("a~b c", cureOnly); err != nil {
		t.Error(err)
	}
	if _, err := r.Create("a~b c", cureOnly); err == nil {
		t.Error("a job was written over")
	}
	jobs, err := r.Jobs()
	if err != nil || len(jobs) != 1 || jobs[0].ID != "a~b c" { // the link is no ordinary file
		t.Errorf("%v %+v", err, jobs)
	}
}

// The plan of a version is made once; a change gives quick numbers first; a run for an
// older version ends.
func TestPlan(t *testing.T) {
	_, d, v := desk(t)
	ctx := context.Background()
	first, err := d.Plan(ctx, v, Watch{})
	if err != nil || first.Plan == nil || first.Plan.Cure == nil {
		t.Fatalf("%v %+v", err, first)
	}
	if again, err := d.Plan(ctx, v, Watch{}); err != nil || again != first {
		t.Errorf("made a second time: %v", err)
	}
	s, err := d.Edit(v, []Edit{{"shop.temperature", ptr(`"25 degC"`)}})
	if err != nil {
		t.Fatal(err)
	}
	var quick *Made
	full, err := d.Plan(ctx, s.Version, Watch{Quick: func(m *Made) { quick = m }})
	if err != nil || quick == nil || !quick.Quick || full.Quick || *full.Plan.Cure.Gel != *quick.Plan.Cure.Gel {
		t.Errorf("%v, quick %+v", err, quick)
	}
	if _, err := d.Plan(ctx, v, Watch{}); err == nil {
		t.Error("a plan of a version that is gone")
	}
	bad, _ := d.Edit(s.Version, []Edit{{"cure.resin", ptr("treacle")}})
	refused, err := d.Plan(ctx, bad.Version, Watch{})
	if err != nil || refused.Plan != nil || len(refused.Problems) == 0 || refused.Problems[0].Line != 4 {
		t.Errorf("%v %+v", err, refused)
	}
	stopped, cancel := context.WithCancel(ctx)
	cancel()
	last, _ := d.Undo(bad.Version)
	if _, err := d.Plan(stopped, last.Version, Watch{}); !errors.Is(err, context.Canceled) {
		t.Errorf("a stopped run: %v", err)
	}
}

// Two windows that ask for one version get one plan, made once.
func TestTwoWindowsOnePlan(t *testing.T) {
	_, d, v := desk(t)
	got := make(chan *Made, 2)
	for range 2 {
		go func() {
			made, err := d.Plan(context.Background(), v, Watch{})
			if err != nil {
				t.Error(err)
			}
			got <- made
		}()
	}
	if a, b := <-got, <-got; a == nil || a != b {
		t.Errorf("two plans: %p and %p", a, b)
	}
	if n := d.kept.Made()["cure"]; n != 1 {
		t.Errorf("the cure was worked out %d times", n)
	}
}
