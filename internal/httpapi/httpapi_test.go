package httpapi

import (
	"bufio"
	"encoding/binary"
	"encoding/json"
	"io"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"laywright/internal/desk"
	"laywright/internal/job"
	"laywright/internal/store/catalogue"
)

const hood = `laywright: 1
job: {name: Hood, seed: 1}
shop: {temperature: "20 degC"}
duty: {loads: {pressure: "2 kPa", deflection_limit: "4 mm", factor: 2}}
mould:
  kind: plug
  solids: [{block: {size: {unit: mm, xyz: [120, 90, 30]}, at: {unit: mm, xyz: [0, 0, 0]}, edge: "12 mm", draft: "30 deg"}}]
  fillet: "10 mm"
  triangle: "9 mm"
  flange: "20 mm"
part: {trim: flange, held: {edge: clamped}}
laminate:
  resin: laminating-epoxy-slow
  fibre_fraction: 0.45
  stack: [{fabric: carbon-twill-200, angle: "0 deg"}, {fabric: carbon-twill-200, angle: "45 deg"}]
roll: {search: "0.2 s"}
wetout: {cup_limit: "100 g"}
`

// app serves a folder with one job; the client speaks to it as a page of its own does.
func app(t *testing.T) (base string, dir string) {
	t.Helper()
	library, err := catalogue.Library()
	if err != nil {
		t.Fatal(err)
	}
	dir = t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "hood.job.yaml"), []byte(hood), 0o644); err != nil {
		t.Fatal(err)
	}
	room := &desk.Room{Dir: dir, Library: library, Inputs: func(job.Spec, string) (job.Inputs, error) { return job.Inputs{}, nil }}
	files := func(p job.Plan) ([]File, error) {
		return []File{{"patterns/P01.dxf", func(w io.Writer) error { _, err := io.WriteString(w, "drawn"); return err }}}, nil
	}
	s := httptest.NewServer(New(Options{Room: room, Version: "test", Starter: hood, Files: files, Schema: func() ([]byte, error) { return []byte("{}"), nil }}))
	t.Cleanup(s.Close)
	return s.URL, dir
}

type asked struct {
	method, path, body string
	head               map[string]string
	host               string
}

func ask(t *testing.T, base string, a asked) (int, string) {
	t.Helper()
	r, err := http.NewRequest(a.method, base+a.path, strings.NewReader(a.body))
	if err != nil {
		t.Fatal(err)
	}
	if a.body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for k, v := range a.head {
		r.Header.Set(k, v)
	}
	if a.host != "" {
		r.Host = a.host
	}
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, string(text)
}

func opened(t *testing.T, base string) desk.State {
	t.Helper()
	status, text := ask(t, base, asked{method: "GET", path: "/api/jobs/hood"})
	var s desk.State
	if err := json.Unmarshal([]byte(text), &s); err != nil || status != 200 {
		t.Fatalf("%d %s", status, text)
	}
	return s
}

// planned reads the events of a version to their end.
func planned(t *testing.T, base, version string) (kinds []string, last View) {
	t.Helper()
	answer, err := http.Get(base + "/api/jobs/hood/events?version=" + version)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	lines := bufio.NewScanner(answer.Body)
	lines.Buffer(nil, 1<<22)
	for lines.Scan() {
		if kind, ok := strings.CutPrefix(lines.Text(), "event: "); ok {
			kinds = append(kinds, kind)
		}
		if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok && kinds[len(kinds)-1] != "stage" {
			json.Unmarshal([]byte(data), &last)
		}
	}
	return kinds, last
}

// From a job to a plan, its meshes and files, then a change of a value, as a page does.
func TestWork(t *testing.T) {
	base, dir := app(t)
	s := opened(t, base)
	kinds, view := planned(t, base, s.Version)
	if kinds[len(kinds)-1] != "plan" || len(view.Problems) > 0 || len(view.Plies) != 2 || len(view.Stages) != 10 {
		t.Fatalf("%v %+v", kinds, view.Problems)
	}
	for _, l := range view.Layers {
		_, mesh := ask(t, base, asked{method: "GET", path: "/api/jobs/hood/meshes/" + l.Mesh + "?version=" + s.Version})
		_, values := ask(t, base, asked{method: "GET", path: "/api/jobs/hood/layers/" + l.Name + "?version=" + s.Version})
		vertices, triangles := binary.LittleEndian.Uint32([]byte(mesh)), binary.LittleEndian.Uint32([]byte(mesh[4:]))
		if len(mesh) != 8+12*int(vertices+triangles) {
			t.Errorf("%s: a mesh of %d bytes for %d vertices", l.Name, len(mesh), vertices)
		}
		want := map[string]uint32{perVertex: vertices, perTriangle: triangles}[l.On]
		if len(values) != 4*int(want) {
			t.Errorf("%s: %d bytes for %d %s", l.Name, len(values), want, l.On)
		}
		if l.Low > l.High || math.IsNaN(l.Low) {
			t.Errorf("%s: from %g to %g", l.Name, l.Low, l.High)
		}
		if l.Yarns {
			if _, warp := ask(t, base, asked{method: "GET", path: "/api/jobs/hood/layers/" + l.Name + "-warp"}); len(warp) != 12*int(vertices) {
				t.Errorf("%s: warp of %d bytes", l.Name, len(warp))
			}
		}
	}
	for _, p := range view.Pictures {
		if status, text := ask(t, base, asked{method: "GET", path: "/api/jobs/hood/pictures/" + p.Name + ".svg"}); status != 200 || !strings.HasPrefix(text, "<?xml") && !strings.HasPrefix(text, "<svg") {
			t.Errorf("%s: %d %.60s", p.Name, status, text)
		}
	}
	if status, text := ask(t, base, asked{method: "GET", path: "/api/jobs/hood/files/patterns/P01.dxf"}); status != 200 || text != "drawn" {
		t.Errorf("%d %s", status, text)
	}
	status, text := ask(t, base, asked{method: "POST", path: "/api/jobs/hood/edit", body: `{"version":"` + s.Version + `","edits":[{"path":"wetout.cup_limit","text":"\"50 g\""}]}`})
	if status != 200 || !strings.Contains(text, `cup_limit: \"50 g\"`) && !strings.Contains(text, "50 g") {
		t.Fatalf("%d %s", status, text)
	}
	if onDisk, _ := os.ReadFile(filepath.Join(dir, "hood.job.yaml")); !strings.Contains(string(onDisk), `{cup_limit: "50 g"}`) {
		t.Errorf("the file holds\n%s", onDisk)
	}
	kinds, _ = planned(t, base, opened(t, base).Version)
	if strings.Join(kinds, " ")[:5] != "quick" || kinds[len(kinds)-1] != "plan" {
		t.Errorf("after a change: %v", kinds)
	}
	if kinds, _ := planned(t, base, s.Version); kinds[len(kinds)-1] != "stale" {
		t.Errorf("for a version that is gone: %v", kinds)
	}
}

// What is refused says why, in problem+json.
func TestRefusals(t *testing.T) {
	base, _ := app(t)
	v := opened(t, base).Version
	for _, c := range []struct {
		name   string
		a      asked
		status int
		words  string
	}{
		{"no such job", asked{method: "GET", path: "/api/jobs/nothing"}, 404, "no such job"},
		{"out of the folder", asked{method: "GET", path: "/api/jobs/..~..~etc"}, 422, "no name for a job"},
		{"old version", asked{method: "POST", path: "/api/jobs/hood/undo", body: `{"version":"0-x"}`}, 409, "changed elsewhere"},
		{"value that is not there", asked{method: "POST", path: "/api/jobs/hood/edit", body: `{"version":"` + v + `","edits":[{"path":"bag.vacuum","text":null}]}`}, 422, "bag.vacuum"},
		{"unknown key", asked{method: "POST", path: "/api/jobs/hood/edit", body: `{"version":"` + v + `","edit":[]}`}, 422, "unexpected"},
		{"no plan yet", asked{method: "GET", path: "/api/jobs/hood/plan.json"}, 404, "no plan"},
		{"nothing there", asked{method: "GET", path: "/api/nothing"}, 404, "nothing at"},
		{"a page's file that is not there", asked{method: "GET", path: "/assets/x.js"}, 404, "nothing at"},
		{"written over", asked{method: "POST", path: "/api/jobs", body: `{"id":"hood"}`}, 422, "already"},
		{"another site's name", asked{method: "GET", path: "/api/jobs", host: "evil.example"}, 421, "does not answer"},
		{"another site's page", asked{method: "POST", path: "/api/jobs", body: `{"id":"x"}`, head: map[string]string{"Origin": "http://evil.example"}}, 403, "other sites"},
		{"another site, as browsers say", asked{method: "GET", path: "/api/jobs", head: map[string]string{"Sec-Fetch-Site": "cross-site"}}, 403, "other sites"},
		{"too large", asked{method: "PUT", path: "/api/jobs/hood/text", body: `{"version":"` + v + `","text":"` + strings.Repeat("x", mostBody) + `"}`}, 413, ""},
	} {
		status, text := ask(t, base, c.a)
		if status != c.status || !strings.Contains(text, c.words) {
			t.Errorf("%s: %d %.200s", c.name, status, text)
		}
		if status >= 400 && !strings.Contains(text, `"status"`) {
			t.Errorf("%s: no problem+json: %.100s", c.name, text)
		}
	}
}

func TestNewJobAndPage(t *testing.T) {
	base, dir := app(t)
	if status, text := ask(t, base, asked{method: "POST", path: "/api/jobs", body: `{"id":"tail~fairing"}`}); status != 200 {
		t.Fatalf("%d %s", status, text)
	}
	if _, err := os.Stat(filepath.Join(dir, "tail", "fairing.job.yaml")); err != nil {
		t.Error(err)
	}
	if _, text := ask(t, base, asked{method: "GET", path: "/api/jobs"}); !strings.Contains(text, `"tail~fairing"`) {
		t.Error(text)
	}
	answer, err := http.Get(base + "/")
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	for _, h := range []string{"Content-Security-Policy", "X-Content-Type-Options", "Referrer-Policy"} {
		if answer.Header.Get(h) == "" {
			t.Errorf("no %s", h)
		}
	}
}

// The description that the page's types are made from is that of the program.
func TestDescriptionIsKept(t *testing.T) {
	kept, err := os.ReadFile("../../web/openapi.json")
	if err != nil {
		t.Fatal(err)
	}
	made, err := Describe("1")
	if err != nil {
		t.Fatal(err)
	}
	var a, b any
	if json.Unmarshal(kept, &a) != nil || json.Unmarshal(made, &b) != nil {
		t.Fatal("no JSON")
	}
	x, _ := json.Marshal(a)
	y, _ := json.Marshal(b)
	if string(x) != string(y) {
		t.Error("web/openapi.json is not what the program has: make generate")
	}
}
