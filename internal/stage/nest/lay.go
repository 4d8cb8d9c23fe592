package nest

import (
	"cmp"
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// Result is where everything lies.
type Result struct {
	Rolls    []Laid          `json:"rolls"`
	Shelf    []Stock         `json:"shelf,omitempty"` // what is in the shop afterwards
	Findings []fault.Finding `json:"-"`
}

// Laid is one roll, or one piece of the stock, with what is cut from it.
type Laid struct {
	Material   string      `json:"material"`
	Stock      string      `json:"stock,omitempty"` // its name, if it was in the shop
	Lot        string      `json:"lot,omitempty"`
	Width      si.Length   `json:"width_m"`
	Length     si.Length   `json:"length_m"` // used, from the start to the last piece
	Use        float64     `json:"use"`      // area of the pieces / (width × length)
	Placements []Placement `json:"placements"`

	Bought   si.Length    `json:"bought_m,omitempty"`        // length that is bought for it
	Rest     si.Length    `json:"rest_m,omitempty"`          // of that, the end that is cut off straight and kept
	Together *si.Length   `json:"nested_length_m,omitempty"` // cut by hand: the length if all were nested together
	Blanks   []Blank      `json:"blanks,omitempty"`          // cut by hand: what is cut off first, in order
	Left     []Remnant    `json:"remnants,omitempty"`        // what is worth keeping
	Waste    si.Area      `json:"waste_m2"`                  // neither piece, remnant nor rest
	Outline  [][2]float64 `json:"outline_m,omitempty"`       // of a remnant that pieces are cut from

	Edge    si.Length      `json:"-"` // kept free along both sides
	Table   si.Length      `json:"-"` // distance of section lines
	Defects []geom.Polygon `json:"-"`
}

// Named is the material, and what it is called in the shop if it is there.
func (l Laid) Named() string {
	name := cmp.Or(l.Material, "cloth")
	switch {
	case l.Stock == "":
		return name
	case l.Lot == "":
		return name + " (" + l.Stock + ")"
	}
	return name + " (" + l.Stock + ", lot " + l.Lot + ")"
}

// Placement is one copy of a piece: its outline flipped about x where Flipped,
// turned about its origin, then shifted.
type Placement struct {
	Piece   string    `json:"piece"`
	X       si.Length `json:"x_m"`
	Y       si.Length `json:"y_m"`
	Turn    si.Angle  `json:"turn_deg"`
	Flipped bool      `json:"flipped"`
}

// workRate is how much work, in pair tests, one core of a server processor gets
// through in a second: 16 to 18 million on published sets of 24 to 99 pieces
// (processor time over work), 12 million where pieces have hundreds of corners.
// It turns the seconds of the job file into a number of steps, so that the
// layout does not depend on the machine. Two idle cores share the steps and
// take a little over half the time; a slower machine takes longer.
const workRate = 16e6

// maxImproved is the number of copies up to which a layout is improved: the
// weights of all pairs are kept, n² numbers.
const maxImproved = 1500

// maxPoses bounds the table that says which pairs of poses are alike.
const maxPoses = 4000

// slip is by how much a piece may stand over the edge, in metres: what rounding
// makes of a piece exactly as wide as the roll.
const slip = 1e-9

// Lay finds a place for every copy of every piece of every roll. The layouts
// keep the gap and the edges, use only allowed turns, overlap nowhere and keep off
// defects and section lines. Stock goes first, the smallest remnant before the rest.
// A cancelled context ends the search with the context's error; a watcher that has
// seen enough ends it with the best layout so far.
func Lay(ctx context.Context, in Input) (Result, error) {
	if len(in.Rolls) == 0 {
		return Result{}, &fault.Input{Field: "roll.pieces", What: "there is nothing to lay", Do: "give at least one piece"}
	}
	var out Result
	w := watch{tell: in.Watch}
	for _, r := range in.Rolls {
		r, err := r.check()
		if err != nil {
			return Result{}, err
		}
		laid, err := r.lay(ctx, &w)
		if err != nil {
			return Result{}, fmt.Errorf("roll%s: %w", r.on(), err)
		}
		if err := verify(r, laid); err != nil {
			return Result{}, fmt.Errorf("roll%s: %w", r.on(), err)
		}
		kept := 0
		for i := range laid {
			out.Findings = append(out.Findings, r.keep(&laid[i], kept)...)
			kept += len(laid[i].Left)
		}
		out.Rolls = append(out.Rolls, laid...)
		out.Shelf = append(out.Shelf, r.shelf(laid)...)
		out.Findings = append(out.Findings, r.findings(laid)...)
	}
	return out, nil
}

// lay uses up the stock and then the roll.
func (r Roll) lay(ctx context.Context, w *watch) (out []Laid, err error) {
	k, err := newKit(r)
	if err != nil {
		return nil, err
	}
	lanes, err := r.lanes()
	if err != nil {
		return nil, err
	}
	left := r.sets()
	w.material = r.Material
	e := spending{seconds: float64(r.Search), seed: r.Seed, watch: w}
	for _, l := range lanes {
		if len(left) == 0 {
			break
		}
		if r.ByHand && l.outline == nil {
			var laid *Laid
			if laid, left, err = r.blanks(ctx, l, k, left, e); err != nil {
				return nil, err
			}
			if laid != nil {
				out = append(out, *laid)
			}
			continue
		}
		st, rest, err := l.use(ctx, k, left, e)
		if err != nil {
			return nil, err
		}
		left = rest
		if st != nil {
			out = append(out, r.report(l, st))
		}
	}
	if len(left) > 0 {
		return nil, r.stuck(left)
	}
	return out, nil
}

// stuck says which piece found no place.
func (r Roll) stuck(left []set) error {
	kind := left[0].kinds[0]
	return &fault.Input{Field: "roll." + fault.Numbered("pieces", kind), What: fmt.Sprintf("%q fits nowhere%s beside its defects", r.Pieces[kind].Name, r.on()),
		Do: "take another roll, or allow another turn"}
}

// report turns the layout into placements of the pieces' own outlines. On a bare roll
// the first piece starts at 0.
func (r Roll) report(l lane, st *state) Laid {
	start, end := math.Inf(1), math.Inf(-1)
	half := float64(r.Gap) / 2
	for _, s := range st.at[:st.free] {
		f := st.poses[s.pose].fit
		start, end = min(start, s.x+f.Min.X+half), max(end, s.x+f.Max.X-half)
	}
	if len(st.blocks) > 0 || !math.IsInf(l.length, 1) {
		start = half
	}
	out := Laid{Material: r.Material, Stock: l.name, Lot: l.lot, Width: si.Length(l.width), Length: si.Length(end - start),
		Edge: si.Length(l.edge), Table: si.Length(l.table), Defects: l.defects, Outline: pairs(l.outline)}
	shift := r2.Vec{X: -start, Y: l.edge - half}
	area := 0.0
	for _, s := range st.at[:st.free] {
		p := st.poses[s.pose]
		piece := r.Pieces[p.kind]
		at := r2.Add(r2.Add(r2.Vec{X: s.x, Y: s.y}, p.origin), shift)
		area += math.Abs(piece.Outline.Area())
		out.Placements = append(out.Placements, Placement{Piece: piece.Name,
			X: si.Length(at.X), Y: si.Length(at.Y), Turn: si.Angle(p.turn), Flipped: p.flipped})
	}
	out.Use = area / float64(out.Width*out.Length)
	if l.outline != nil {
		out.Use = area / math.Abs(l.outline.Area())
	}
	return out
}

func pairs(p geom.Polygon) (out [][2]float64) {
	for _, v := range p {
		out = append(out, [2]float64{v.X, v.Y})
	}
	return out
}
