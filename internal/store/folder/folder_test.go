package folder

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"
)

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error { _, err := io.WriteString(w, s); return err }
}

func names(t *testing.T, dir string) (out []string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

func TestWritesAndReplaces(t *testing.T) {
	home := t.TempDir()
	dir := filepath.Join(home, "deep", "out")
	first := []File{{"plan.json", text("1")}, {"patterns/a.dxf", text("a")}}
	if err := Put(context.Background(), dir, first); err != nil {
		t.Fatal(err)
	}
	if err := Put(context.Background(), dir, []File{{"plan.json", text("2")}}); err != nil {
		t.Fatal(err)
	}
	if got := names(t, dir); len(got) != 1 || got[0] != "plan.json" {
		t.Errorf("folder holds %v", got)
	}
	if got := names(t, filepath.Dir(dir)); len(got) != 1 {
		t.Errorf("left beside it: %v", got)
	}
}

// A write that fails half-way, or an interrupt, leaves the former output whole.
func TestFailureLeavesTheFormerOne(t *testing.T) {
	home := t.TempDir()
	dir := filepath.Join(home, "out")
	if err := Put(context.Background(), dir, []File{{"plan.json", text("1")}}); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	halfWay := []File{{"plan.json", func(w io.Writer) error { stop(); return text("2")(w) }}, {"b", text("b")}}
	if err := Put(ctx, dir, halfWay); !errors.Is(err, context.Canceled) {
		t.Errorf("interrupt gives %v", err)
	}
	broken := []File{{"plan.json", text("3")}, {"b", func(io.Writer) error { return errors.New("disk full") }}}
	if err := Put(context.Background(), dir, broken); err == nil {
		t.Error("a failed write was not reported")
	}
	if b, _ := os.ReadFile(filepath.Join(dir, "plan.json")); string(b) != "1" {
		t.Errorf("plan.json is now %q", b)
	}
	if got := names(t, home); len(got) != 1 {
		t.Errorf("left behind: %v", got)
	}
}

func TestForeignFolderIsRefused(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "photo.jpg"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := Put(context.Background(), dir, []File{{"plan.json", text("1")}}); err == nil {
		t.Error("a folder with other things was replaced")
	}
}
