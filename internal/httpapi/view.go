package httpapi

import (
	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/desk"
	"laywright/internal/job"
	"laywright/internal/stage/flat"
)

// View is what the page shows of a plan at once; the numbers of each step come from
// plan.json.
type View struct {
	Version  string          `json:"version" doc:"of the job that it was made from"`
	Quick    bool            `json:"quick" doc:"stages marked stale stand as they were for an earlier version"`
	Problems []bind.Problem  `json:"problems" doc:"why there is no plan"`
	Units    string          `json:"units" enum:"metric,us"`
	Stages   []Step          `json:"stages"`
	Numbers  []job.Headline  `json:"numbers" doc:"the headline numbers, in the job's units"`
	Findings []fault.Finding `json:"findings"`
	Pictures []PictureOf     `json:"pictures"`
	Layers   []Layer         `json:"layers"`
	Plies    []PlyView       `json:"plies"`
	Files    []FileOf        `json:"files"`
}

// Step is one stage with its headline and its worst finding.
type Step struct {
	Name     string         `json:"name"`
	Ran      bool           `json:"ran"`
	Stale    bool           `json:"stale"`
	Missing  []string       `json:"missing" doc:"the parts of the job that it lacks"`
	Headline string         `json:"headline"`
	Worst    fault.Severity `json:"worst" doc:"stop, caution, note or empty"`
	Count    int            `json:"count" doc:"of its findings that are no notes"`
}

// PlyView is a ply for the flat view and for the seams on the mould.
type PlyView struct {
	Number int        `json:"number"`
	Fabric string     `json:"fabric"`
	Angle  float64    `json:"angle_deg"`
	Shear  float64    `json:"shear_max_deg"`
	Pieces []FlatView `json:"pieces"`
	Seams  []SeamView `json:"seams"`
	Seed   []float64  `json:"seed_m"`
}

// FlatView is a flat piece: places in metres, u along the warp.
type FlatView struct {
	Name    string         `json:"name"`
	Area    float64        `json:"area_m2"`
	Outline [][2]float64   `json:"outline_m"`
	Net     [][2]float64   `json:"net_outline_m"`
	Knife   [][][2]float64 `json:"knife_m"`
	Marks   []flat.Mark    `json:"marks"`
}

// SeamView is a seam on the mould; marks of its number lie on the pieces.
type SeamView struct {
	Number int          `json:"seam"`
	Line   [][3]float64 `json:"line_m"`
	Length float64      `json:"length_m"`
}

func viewOf(m *desk.Made) View {
	v := View{Version: m.Version, Quick: m.Quick, Problems: m.Problems, Units: "metric", Stages: []Step{}, Numbers: []job.Headline{}, Findings: []fault.Finding{},
		Pictures: []PictureOf{}, Layers: []Layer{}, Plies: []PlyView{}, Files: []FileOf{}}
	if v.Problems == nil {
		v.Problems = []bind.Problem{}
	}
	p := m.Plan
	if p == nil {
		return v
	}
	if p.Spec.Show != "" {
		v.Units = string(p.Spec.Show)
	}
	v.Findings = p.Findings
	for _, h := range p.Headlines() {
		h.Text = si.Typeset(h.Text)
		v.Numbers = append(v.Numbers, h)
	}
	v.Stages, v.Plies = steps(*p, v.Numbers), plyViews(*p)
	v.Pictures, v.Layers = picturesOf(*p), layersOf(*p)
	if !m.Quick {
		v.Files = filesOf(*p)
	}
	return v
}

func steps(p job.Plan, numbers []job.Headline) []Step {
	out := make([]Step, len(p.Stages))
	for i, s := range p.Stages {
		out[i] = Step{Name: s.Name, Ran: s.Ran, Stale: s.Stale, Missing: s.Missing}
		for _, h := range numbers {
			if h.Stage == s.Name && out[i].Headline == "" {
				out[i].Headline = h.Text
			}
		}
		for _, f := range p.Findings {
			if f.Stage != s.Name {
				continue
			}
			if f.Severity != fault.Note {
				out[i].Count++
			}
			if rank[f.Severity] > rank[out[i].Worst] {
				out[i].Worst = f.Severity
			}
		}
	}
	return out
}

var rank = map[fault.Severity]int{fault.Note: 1, fault.Caution: 2, fault.Stop: 3}

func plyViews(p job.Plan) []PlyView {
	out := []PlyView{}
	if p.Plies == nil {
		return out
	}
	for _, ply := range p.Plies.Plies {
		v := PlyView{Number: ply.Number, Fabric: ply.Fabric, Angle: ply.Angle.Degrees(), Shear: ply.ShearMax.Degrees(), Pieces: []FlatView{}, Seams: []SeamView{}, Seed: p.Plies.Seed[:]}
		for _, piece := range ply.Pieces {
			v.Pieces = append(v.Pieces, FlatView{Name: piece.Name, Area: float64(piece.Area), Outline: piece.Outline, Net: piece.Net,
				Knife: some(piece.Knife), Marks: some(piece.Marks)})
		}
		for _, s := range ply.Seams {
			v.Seams = append(v.Seams, SeamView{s.Number, s.Line, float64(s.Length)})
		}
		out = append(out, v)
	}
	return out
}

// some is the list, or an empty one: JSON has none for nil.
func some[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
