package scan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
)

// Shares of the diagonal and of the area.
const (
	sewShare   = 1e-5 // of the diagonal: how far apart the sides of a seam may lie
	crumbShare = 0.01 // of the area: pieces and fins below it are scan rubbish
	finsShare  = 0.1  // of the area: what fins, each of them small, may come to
)

// mend joins vertices, drops what has no area, sews seams, and leaves one sheet
// in one piece.
func (w *work) mend() error {
	report, err := w.clean()
	if err != nil {
		return err
	}
	if len(report.NonManifold) > 0 {
		if report, err = w.dropFins(report); err != nil {
			return err
		}
	}
	if len(report.Twisted) > 0 {
		return &fault.Input{Field: "mould.file", What: fmt.Sprintf("%s has one side only: at %d sides its triangles can't agree which way is out, one at %s", w.o.File, len(report.Twisted), place(report.Twisted[0].At)), Do: "cut it open where it was drawn"}
	}
	if len(report.BowTies) > 0 {
		t, err := w.topology()
		if err != nil {
			return err
		}
		w.m, _ = t.Untie()
		w.did(Repair{What: "vertices parted where the surface touched itself in a point", Count: len(report.BowTies), At: report.BowTies[0].At})
	}
	w.filled = make([]bool, len(w.m.Triangles))
	return w.choose("separate pieces left out", w.several)
}

// clean welds, cleans and sews, and lists it.
func (w *work) clean() (mesh.Report, error) {
	seam := max(w.o.Join, sewShare*w.m.Diagonal())
	m, r, err := mesh.Clean(w.m, mesh.CleanOptions{Weld: w.o.Join, Seam: seam})
	if err != nil {
		return r, fmt.Errorf("mould.file %s: %w", w.o.File, err)
	}
	before := w.m
	w.m, w.top = m, r.Topology
	moved, at := 0.0, r3.Vec{}
	for v, now := range r.Vertex {
		if now < 0 {
			continue
		}
		if d := r3.Norm(r3.Sub(m.Vertices[now], before.Vertices[v])); d > moved {
			moved, at = d, before.Vertices[v]
		}
	}
	if moved > 0 { // vertices at one place are how STL files are written, no flaw
		w.did(Repair{What: "vertices joined that lay apart", Count: r.Welded, At: at, Moved: moved})
	}
	w.did(Repair{What: "triangles without area dropped", Count: r.Degenerate, At: firstGone(before, r)})
	if r.Duplicate > 0 {
		w.did(Repair{What: "doubled triangles dropped", Count: r.Duplicate, At: firstGone(before, r), Area: min(0, m.Area()-before.Area())})
	}
	if len(r.Sewn) > 0 {
		w.did(Repair{What: "sides cut at a vertex of the neighbour that lay on them", Count: len(r.Sewn), At: r.Sewn[0], Moved: seam})
	}
	w.did(Repair{What: "triangles turned round to agree with their neighbours", Count: r.Flipped, At: firstTurned(before, m, r)})
	w.did(Repair{What: "closed pieces turned inside out, as they were", Count: r.Inverted, At: m.Centroid(0)})
	return r, nil
}

// firstGone returns the middle of the first triangle that is not there any more.
func firstGone(m *mesh.Mesh, r mesh.Report) r3.Vec {
	if f := slices.Index(r.Face, -1); f >= 0 {
		return m.Centroid(f)
	}
	return r3.Vec{}
}

// firstTurned returns the middle of the first triangle that was turned round.
func firstTurned(before, after *mesh.Mesh, r mesh.Report) r3.Vec {
	for f, now := range r.Face {
		if now >= 0 && r3.Dot(before.AreaVector(f), after.AreaVector(int(now))) < 0 {
			return before.Centroid(f)
		}
	}
	return r3.Vec{}
}

// dropFins parts the surface along sides of three or more triangles into sheets,
// keeps the largest and drops the others, if they are small.
func (w *work) dropFins(r mesh.Report) (mesh.Report, error) {
	t, err := w.topology()
	if err != nil {
		return r, err
	}
	sheets := sheetsOf(t)
	area := w.m.Area()
	var count int
	var off float64
	var at r3.Vec
	for _, s := range sheets[1:] {
		if count == 0 {
			at = w.m.Centroid(int(s.faces[0]))
		}
		count, off = count+len(s.faces), off+s.area
	}
	if len(sheets) > 1 && sheets[1].area > crumbShare*area || off > finsShare*area {
		return r, w.manySided(r, sheets)
	}
	w.m = w.m.Extract(sheets[0].faces).Mesh
	w.did(Repair{What: "triangles of fins dropped, where three or more met at a side", Count: count, At: at, Area: -off})
	if r, err = w.clean(); err == nil && len(r.NonManifold) > 0 {
		err = w.manySided(r, sheets)
	}
	return r, err
}

func (w *work) manySided(r mesh.Report, sheets []sheet) error {
	share := 0.0
	if area := w.m.Area(); area > 0 && len(sheets) > 1 {
		share = 100 * (1 - sheets[0].area/area)
	}
	return &fault.Input{Field: "mould.file", What: fmt.Sprintf("%s has %d sides at which three or more triangles meet, one at %s, and %.0f %% of its area hangs on them", w.o.File, len(r.NonManifold), place(r.NonManifold[0].At), share), Do: "take inner walls out where it was drawn, so that one skin is left"}
}

// sheet is a part of the surface with its area, m².
type sheet struct {
	faces []int32
	area  float64
}

// sheetsOf returns the parts that hang together by sides of two triangles,
// largest first.
func sheetsOf(t *mesh.Topology) []sheet {
	seen := make([]bool, len(t.Mesh.Triangles))
	var out []sheet
	for first := range seen {
		if seen[first] {
			continue
		}
		s := sheet{faces: []int32{int32(first)}}
		seen[first] = true
		for i := 0; i < len(s.faces); i++ {
			f := int(s.faces[i])
			s.area += t.Mesh.FaceArea(f)
			for h := 3 * f; h < 3*f+3; h++ {
				faces := t.EdgeFaces(int(t.EdgeOf[h]))
				if len(faces) != 2 {
					continue
				}
				for _, g := range faces {
					if !seen[g] {
						seen[g] = true
						s.faces = append(s.faces, g)
					}
				}
			}
		}
		slices.Sort(s.faces)
		out = append(out, s)
	}
	slices.SortStableFunc(out, func(a, b sheet) int { return cmp.Compare(b.area, a.area) })
	return out
}

// wideOf returns the diagonal of the box round places.
func wideOf(places []r3.Vec) float64 {
	inf := math.Inf(1)
	lo, hi := r3.Vec{X: inf, Y: inf, Z: inf}, r3.Vec{X: -inf, Y: -inf, Z: -inf}
	for _, p := range places {
		lo = r3.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y), Z: min(lo.Z, p.Z)}
		hi = r3.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y), Z: max(hi.Z, p.Z)}
	}
	return r3.Norm(r3.Sub(hi, lo))
}
