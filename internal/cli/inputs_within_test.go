package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"laywright/internal/job"
)

// A job that a page wrote reads nothing outside the folder that is served.
func TestReadsWithin(t *testing.T) {
	folder, outside := t.TempDir(), t.TempDir()
	dir := filepath.Join(folder, "part")
	for _, err := range []error{os.Mkdir(dir, 0o755), os.WriteFile(filepath.Join(outside, "s.csv"), []byte("min,degC\n0,20\n60,60\n"), 0o644),
		os.WriteFile(filepath.Join(folder, "s.csv"), []byte("min,degC\n0,20\n60,60\n"), 0o644), os.Symlink(filepath.Join(outside, "s.csv"), filepath.Join(dir, "link.csv"))} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for name, ok := range map[string]bool{"../s.csv": true, "../../" + filepath.Base(outside) + "/s.csv": false, filepath.Join(outside, "s.csv"): false, "link.csv": false, "/etc/passwd": false, "../../../../etc/passwd": false} {
		f, problems := job.Read([]byte("laywright: 1\ncure: {resin: laminating-epoxy-slow, trace: \"" + name + "\"}\nmould: {kind: plug, file: \"" + name + "\", unit: mm}\nroll: {shelf: \"" + name + "\"}\n"))
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		err := allWithin(f.Spec, dir, folder)
		if ok != (err == nil) || !ok && strings.Count(err.Error(), "outside the folder") != 3 {
			t.Errorf("%s: %v", name, err)
		}
	}
}
