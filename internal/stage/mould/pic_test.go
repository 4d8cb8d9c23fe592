package mould
import ("testing";"os";"encoding/json")
func TestPic(t *testing.T) {
	for _, n := range []string{"dunlin-demist-box", "dunlin-air-scoop"} {
		r := work(t, readFile(t, n+".yaml"))
		b, _ := json.Marshal(map[string]any{"v": r.Surface.Vertices, "t": r.Surface.Triangles, "d": r.Draft, "s": r.Build.Slices, "m": r.Build.Templates})
		os.WriteFile("/tmp/"+n+".json", b, 0o644)
		b, _ = json.Marshal(r); t.Log(string(b)); for _, f := range r.Findings { t.Log(f) }
	}
}
