package httpapi

import (
	"encoding/binary"
	"fmt"
	"math"
	"net/http"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/job"
)

// Layer is what can be laid on the mould in the 3-D view: a value at each vertex, or at
// each triangle, of a mesh.
type Layer struct {
	Name  string   `json:"name"`
	Label string   `json:"label"`
	Stage string   `json:"stage"`
	Mesh  string   `json:"mesh"`
	On    string   `json:"on" enum:"vertices,triangles"`
	Unit  string   `json:"unit"`
	Low   float64  `json:"low"`
	High  float64  `json:"high"`
	Limit *float64 `json:"limit,omitempty" doc:"in the unit; from there on the map shows what is over it"`
	Below bool     `json:"below" doc:"what is under the limit is over it"`
	Yarns bool     `json:"yarns" doc:"there are directions too: name-warp and name-weft"`

	values func() []float64
}

const (
	perVertex   = "vertices"
	perTriangle = "triangles"
)

// meshOf returns a mesh of the plan by its name.
func meshOf(p job.Plan, name string) *mesh.Mesh {
	switch {
	case name == "face" && p.Mould != nil:
		return p.Mould.Face
	case name == "part" && p.Mould != nil:
		return p.Mould.Surface
	case name == "wall" && p.Strength != nil:
		return p.Strength.Mesh
	}
	return nil
}

// layersOf lists the layers that a plan has.
func layersOf(p job.Plan) []Layer {
	out := []Layer{}
	add := func(l Layer) {
		values := l.values()
		if meshOf(p, l.Mesh) == nil || len(values) == 0 {
			return
		}
		l.Low, l.High = ends(values)
		out = append(out, l)
	}
	if m := p.Mould; m != nil && m.Surface != nil {
		least := 3.0 // degrees, as the finding has it
		add(Layer{Name: "draft", Label: "draft", Stage: "mould", Mesh: "part", On: perTriangle, Unit: "deg", Limit: &least, Below: true,
			values: func() []float64 { return scaled(m.Draft, 180/math.Pi) }})
	}
	if p.Plies != nil {
		for _, ply := range p.Plies.Plies {
			if ply.Laid == nil {
				continue
			}
			l := Layer{Name: fmt.Sprintf("ply-%d", ply.Number), Label: fmt.Sprintf("shear of ply %d, %s at %.0f°", ply.Number, ply.Fabric, ply.Angle.Degrees()), Stage: "plies",
				Mesh: "part", On: perVertex, Unit: "deg", Yarns: true, values: func() []float64 { return sizes(ply.Laid.Shear, 180/math.Pi) }}
			if locking := p.Locking(ply.Fabric).Degrees(); locking > 0 {
				l.Limit = &locking
			}
			add(l)
		}
		if r := p.Plies.Relaid; len(r.Stack.Thickness) > 0 {
			add(Layer{Name: "thickness", Label: "thickness of the laid cloth", Stage: "laminate", Mesh: "part", On: perVertex, Unit: "mm",
				values: func() []float64 { return scaled(r.Stack.Thickness, 1e3) }})
		}
	}
	if s := p.Strength; s != nil && s.Mesh != nil {
		add(Layer{Name: "deflection", Label: "how far the wall moves", Stage: "strength", Mesh: "wall", On: perVertex, Unit: "mm",
			values: func() []float64 { return lengths(s.Move, 1e3) }})
		whole := 1.0
		add(Layer{Name: "failure", Label: "share of its strength used", Stage: "strength", Mesh: "wall", On: perTriangle, Unit: "", Limit: &whole,
			values: func() []float64 { return s.Share }})
	}
	return out
}

func ends(values []float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, x := range values {
		if !math.IsNaN(x) && !math.IsInf(x, 0) {
			low, high = min(low, x), max(high, x)
		}
	}
	if low > high {
		return 0, 0
	}
	return low, high
}

func scaled(list []float64, by float64) []float64 {
	out := make([]float64, len(list))
	for i, x := range list {
		out[i] = x * by
	}
	return out
}

func sizes(list []float64, by float64) []float64 {
	out := scaled(list, by)
	for i, x := range out {
		out[i] = math.Abs(x)
	}
	return out
}

func lengths(list []r3.Vec, by float64) []float64 {
	out := make([]float64, len(list))
	for i, v := range list {
		out[i] = r3.Norm(v) * by
	}
	return out
}

// mesh answers with a mesh: the numbers of vertices and of triangles (uint32), places
// in metres (float32, three a vertex), then corners (uint32, three a triangle). The
// numbers of the version it belongs to keep it in the browser's store.
func (s *server) mesh(w http.ResponseWriter, r *http.Request) {
	p, ok := s.planFor(w, r)
	if !ok {
		return
	}
	m := meshOf(*p, r.PathValue("name"))
	if m == nil {
		fail(w, http.StatusNotFound, "the plan has no mesh called "+r.PathValue("name"))
		return
	}
	out := make([]byte, 0, 8+12*len(m.Vertices)+12*len(m.Triangles))
	out = binary.LittleEndian.AppendUint32(out, uint32(len(m.Vertices)))
	out = binary.LittleEndian.AppendUint32(out, uint32(len(m.Triangles)))
	for _, v := range m.Vertices {
		out = append3(out, v)
	}
	for _, t := range m.Triangles {
		for _, c := range t {
			out = binary.LittleEndian.AppendUint32(out, uint32(c))
		}
	}
	w.Header().Set("Content-Type", "application/octet-stream")
	w.Write(out)
}

func append3(out []byte, v r3.Vec) []byte {
	for _, x := range [3]float64{v.X, v.Y, v.Z} {
		out = binary.LittleEndian.AppendUint32(out, math.Float32bits(float32(x)))
	}
	return out
}

// layer answers with the values of a layer (float32), or, where -warp or -weft is put
// after its name, with the directions of those yarns (three float32 a vertex).
func (s *server) layer(w http.ResponseWriter, r *http.Request) {
	p, ok := s.planFor(w, r)
	if !ok {
		return
	}
	name := r.PathValue("name")
	w.Header().Set("Content-Type", "application/octet-stream")
	for _, l := range layersOf(*p) {
		if l.Name == name {
			var out []byte
			for _, x := range l.values() {
				out = binary.LittleEndian.AppendUint32(out, math.Float32bits(float32(x)))
			}
			w.Write(out)
			return
		}
	}
	if yarns := yarnsOf(*p, name); yarns != nil {
		var out []byte
		for _, v := range yarns {
			out = append3(out, v)
		}
		w.Write(out)
		return
	}
	fail(w, http.StatusNotFound, "the plan has no layer called "+name)
}

// yarnsOf returns the directions of "ply-3-warp".
func yarnsOf(p job.Plan, name string) []r3.Vec {
	rest, weft := strings.CutSuffix(name, "-weft")
	number, err := strconv.Atoi(strings.TrimPrefix(strings.TrimSuffix(rest, "-warp"), "ply-"))
	if err != nil || p.Plies == nil || number < 1 || number > len(p.Plies.Plies) {
		return nil
	}
	laid := p.Plies.Plies[number-1].Laid
	switch {
	case laid == nil:
		return nil
	case weft:
		return laid.Weft
	}
	return laid.Warp
}
