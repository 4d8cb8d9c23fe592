// Package dress answers what flat pieces of peel ply, release film and bleeder are cut
// for a part: it lays each on the part's surface, grows it past the part's edge, draws
// its pieces and puts them back on the mould. It needs the surface, where the plies
// begin, and of each sheet how it gives, how wide its roll is and how far it goes past
// the edge.
//
// A woven sheet (peel ply) shears like any cloth up to its locking angle. Film and felt
// do not shear: they are flattened as true to length as can be, and what their lengths
// change by is held against what the sheet takes. Where a sheet does not lie it is slit
// ([slits.Part.Gathered]); what is left over its limit lies in pleats, and is told. Laps are
// as wide as the notches of the slits give; under a butted seam nothing lies double.
//
// Lengths are metres. A piece's flat coordinates are u along the warp of the plies at
// the place where they begin, and v to its left, seen from the free side, which is the
// marked face. Film and felt have no warp, and peel ply is alike in both ways: a piece may
// be turned by quarter turns on its roll.
//
// It does not know masses, the cure, or what a pleat leaves on the part, and it draws no
// bag: that is cut as a rectangle ([Rectangle]).
package dress

import (
	"cmp"
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/flat"
	"laywright/internal/stage/seed"
	"laywright/internal/stage/slits"
)

// Input is what the sheets are cut for.
type Input struct {
	Surface *mesh.Mesh // the part, normals towards the free side
	Seed    r3.Vec     // where sheets are laid down first
	Warp    r3.Vec     // of the plies there
	Sheets  []Sheet
}

// Sheet is what is known of one sheet.
type Sheet struct {
	Use      string // "peel ply"
	Material string
	Letters  string  // that the names of its pieces begin with
	Layers   int     // how many lie on each other
	Woven    bool    // shears like cloth
	Locking  float64 // rad, of a woven one; 0: usual
	Strain   float64 // that another takes without a pleat; 0: usual
	Width    si.Length
	Margin   si.Length // past the part's edge
	Lap      si.Length // at seams; 0: butted
	Expected si.Area   // of one layer, as the bag reckons it
}

// Usual limits where a record has none: common practice, no source.
const (
	usualLocking = 40 * math.Pi / 180
	usualStrain  = 0.015
	// gathers is the change of length that hands still smooth away in small pleats:
	// only what is over it, and over what the sheet takes, is slit.
	gathers = 0.05
	// mostParts is how many pieces of surface are dressed at the most: more are no part
	// but a scan that fell apart.
	mostParts = 40
	// trifle is the share of the part that no slit is made for and no finding tells of.
	trifle = 0.005
)

func (s Sheet) limit() float64 {
	if s.Woven {
		return cmp.Or(s.Locking, usualLocking)
	}
	return cmp.Or(s.Strain, usualStrain)
}

// kind names sheets that lie alike.
type kind struct {
	woven bool
	limit float64 // for slits, as [slits.Ask] has it
}

func (s Sheet) kind() kind {
	if s.Woven {
		return kind{true, s.limit()}
	}
	return kind{false, slits.FilmLimit(max(s.limit(), gathers))}
}

// Laid is one sheet as it is cut and how it lies.
type Laid struct {
	Use      string       `json:"use"`
	Material string       `json:"material"`
	Layers   int          `json:"layers"`
	Pieces   []flat.Piece `json:"pieces"`        // of one layer
	Area     si.Area      `json:"area_m2"`       // of one layer, as cut
	Expected si.Area      `json:"bag_area_m2"`   // of one layer, as the bag stage reckons it
	Margin   si.Length    `json:"margin_m"`      // past the part's edge
	Seams    si.Length    `json:"seam_length_m"` // of slits and joins
	ShearMax *si.Angle    `json:"shear_max_deg,omitempty"`
	Locking  *si.Angle    `json:"locking_deg,omitempty"`
	Change   *float64     `json:"strain_max,omitempty"` // largest change of a length, either way
	Takes    *float64     `json:"strain_limit,omitempty"`
	Over     si.Area      `json:"over_limit_m2"`
	Coverage float64      `json:"coverage_share"` // of the part, the pieces put back on it
	Edge     *si.Length   `json:"edge_least_m,omitempty"`
	Gapes    si.Length    `json:"seam_short_of_lap_m"` // length of the seams that have less than the lap

	drawn si.Area // of Over, where a film would have to be longer than it is
}

// Result is the sheets with what is to be minded.
type Result struct {
	Sheets   []Laid
	Findings []fault.Finding
}

// Lay lays all sheets and cuts their pieces. A sheet for which there is no way has none,
// and a finding says why.
func Lay(ctx context.Context, in Input) (out Result, err error) {
	fine, err := slits.WithRoom(in.Surface)
	if err != nil {
		return out, err
	}
	w, err := newWork(fine.Mesh, in)
	if err != nil {
		return out, err
	}
	for _, s := range in.Sheets {
		laid, findings, err := w.lay(ctx, s)
		if ctx.Err() != nil {
			return Result{}, ctx.Err()
		}
		if err != nil {
			laid, findings = s.blank(), []fault.Finding{s.lost(err)}
		}
		out.Sheets, out.Findings = append(out.Sheets, laid), append(out.Findings, findings...)
	}
	return out, nil
}

// lay lays one sheet, cuts its pieces and puts them back.
func (w *work) lay(ctx context.Context, s Sheet) (Laid, []fault.Finding, error) {
	beds, err := w.beds(ctx, s.kind())
	if err != nil {
		return Laid{}, nil, err
	}
	laid := s.cut(beds)
	if err := w.putBack(ctx, s, beds, &laid); err != nil {
		return Laid{}, nil, err
	}
	return laid, s.findings(laid, w.area), nil
}

// blank is the sheet without pieces.
func (s Sheet) blank() Laid {
	return Laid{Use: s.Use, Material: s.Material, Layers: s.Layers, Pieces: []flat.Piece{}, Expected: s.Expected, Margin: s.Margin}
}

// work is one call of [Lay].
type work struct {
	top   *mesh.Topology
	area  float64
	parts []slits.Part
	width map[kind]float64 // of the narrowest roll, less what goes past the part
	known map[kind][]bed
}

// bed is one piece of a sheet as it lies.
type bed struct {
	*slits.Bed
	vertices []int32 // of the surface, by vertex of its ground; -1: on none
}

func newWork(m *mesh.Mesh, in Input) (*work, error) {
	top, err := mesh.NewTopology(m)
	if err != nil {
		return nil, err
	}
	w := &work{top: top, area: m.Area(), width: map[kind]float64{}, known: map[kind][]bed{}}
	if w.parts, err = slits.Parts(m); err != nil {
		return nil, err
	}
	if n := len(w.parts); n > mostParts {
		return nil, &fault.Input{Field: "mould", What: fmt.Sprintf("the surface is in %d pieces that do not hang together", n), Do: "close its gaps"}
	}
	nearest, best := 0, math.Inf(1)
	for i := range w.parts {
		p := &w.parts[i]
		p.Seed = seed.Middle(p)
		if hit, ok := p.Locator.Closest(in.Seed); ok && hit.Distance < best {
			nearest, best = i, hit.Distance
		}
	}
	hit, _ := w.parts[nearest].Locator.Closest(in.Seed)
	w.parts[nearest].Seed = hit.Point
	for i := range w.parts {
		seed.Aim(&w.parts[i], in.Warp)
		w.parts[i].Along = in.Warp
	}
	for _, s := range in.Sheets {
		k, usable := s.kind(), float64(s.Width-2*s.Margin)
		if was, ok := w.width[k]; !ok || usable < was {
			w.width[k] = usable
		}
	}
	return w, nil
}

// beds lays a kind of sheet, once.
func (w *work) beds(ctx context.Context, k kind) ([]bed, error) {
	if b, ok := w.known[k]; ok {
		return b, nil
	}
	ask := slits.Ask{Film: !k.woven, Limit: k.limit, Trifle: trifle * w.area, Width: max(0, w.width[k])}
	if k.woven {
		ask.Locking = k.limit
	}
	var out []bed
	for i := range w.parts {
		p := &w.parts[i]
		beds, err := p.Gathered(ctx, ask)
		if err != nil {
			return nil, err
		}
		for _, b := range beds {
			on := make([]int32, len(b.From))
			for j, u := range b.From {
				if on[j] = -1; u >= 0 {
					on[j] = p.Vertices[u]
				}
			}
			out = append(out, bed{b, on})
		}
	}
	letter(out)
	w.known[k] = out
	return out, nil
}

// letter gives each slit a number of its own, that its match marks are lettered by; both
// sides of a join keep one in common.
func letter(beds []bed) {
	next := 0
	joins := map[int]int{}
	for _, b := range beds {
		for i := range b.Slits {
			s := &b.Slits[i]
			number, known := joins[s.Route]
			if join := s.Left == nil || s.Right == nil; !join || !known {
				number, next = next, next+1
				if join {
					joins[s.Route] = number
				}
			}
			s.Route = number
		}
	}
}

// cut draws the pieces of one layer: PP1, PP2, ...
func (s Sheet) cut(beds []bed) Laid {
	out := s.blank()
	for i, b := range beds {
		name := fmt.Sprintf("%s%d", s.Letters, i+1)
		c := flat.Cloth{Lap: float64(s.Lap), Butted: s.Lap == 0, Allowance: float64(s.Margin),
			Pencilled: flat.SeedPlanes(b.SeedAt, b.Top.Mesh.FaceNormal(b.Seed.Face)), Label: flat.Label{FacesAlike: true}}
		piece := flat.Cut(name, flat.Sheet{Ground: b.Ground, Flat: b.Flat}, c)
		piece.Carrier = nil // it is not wetted out
		piece.Words = s.words(piece, i+1, len(beds))
		out.Pieces = append(out.Pieces, piece)
		out.Area += si.Area(math.Abs(flat.Polygon(piece.Outline).Area()))
		out.measure(s, b)
	}
	return out
}

// words is what is written on a piece.
func (s Sheet) words(p flat.Piece, nth, of int) []string {
	out := []string{"Piece " + p.Name, s.Use + ": " + s.Material}
	if of > 1 {
		out = append(out, fmt.Sprintf("piece %d of %d", nth, of))
	}
	if s.Layers > 1 {
		out = append(out, fmt.Sprintf("cut %d, one a layer", s.Layers))
	}
	if p.MayTurnOver {
		return append(out, "either side up")
	}
	return append(out, p.Side)
}

// measure takes in what a sheet gives on one of its beds.
func (l *Laid) measure(s Sheet, b bed) {
	limit, most := s.limit(), 0.0
	for v, γ := range b.Shear {
		change := math.Abs(γ)
		if !s.Woven {
			change = b.FilmStrain(v)
		}
		most = max(most, change)
		if change > limit {
			l.Over += si.Area(b.Areas[v])
			if !s.Woven && γ < 0 {
				l.drawn += si.Area(b.Areas[v])
			}
		}
	}
	if s.Woven {
		angle, locks := si.Angle(max(most, float64(orZero(l.ShearMax)))), si.Angle(limit)
		l.ShearMax, l.Locking = &angle, &locks
		return
	}
	change := max(most, orZero(l.Change))
	l.Change, l.Takes = &change, &limit
}

func orZero[T any](p *T) (out T) {
	if p != nil {
		out = *p
	}
	return out
}

// rounding is by what share of a roll's width a strip may be wider than it.
const rounding = 1e-9

// Rectangle cuts a sheet that is a plain rectangle, such as a bag: in one, or, where it is
// wider than its roll both ways, in strips as wide as the roll that lie over each other by
// a lap.
func (s Sheet) Rectangle(long, wide si.Length) Laid {
	if wide > long {
		long, wide = wide, long
	}
	strips := 1
	if s.Width > s.Lap && wide > s.Width {
		strips = int(math.Ceil(float64((wide-s.Lap)/(s.Width-s.Lap)) - rounding))
	}
	each := (float64(wide) + float64(strips-1)*float64(s.Lap)) / float64(strips)
	out := s.blank()
	out.Seams, out.Coverage = si.Length(strips-1)*long, 1
	for i := range strips {
		outline := [][2]float64{}
		for _, p := range geom.Rect(0, 0, float64(long), each) {
			outline = append(outline, [2]float64{p.X, p.Y})
		}
		piece := flat.Piece{Name: fmt.Sprintf("%s%d", s.Letters, i+1), Area: si.Area(float64(long) * each), Outline: outline, Net: outline, MayTurnOver: true}
		piece.Words = s.words(piece, i+1, strips)
		out.Pieces = append(out.Pieces, piece)
		out.Area += piece.Area
	}
	return out
}
