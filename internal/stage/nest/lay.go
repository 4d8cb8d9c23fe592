package nest

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Result is where everything lies.
type Result struct {
	Rolls    []Laid          `json:"rolls"`
	Findings []fault.Finding `json:"-"`
}

// Laid is one roll with its pieces.
type Laid struct {
	Material   string      `json:"material"`
	Width      si.Length   `json:"width_m"`
	Length     si.Length   `json:"length_m"` // used, from the start to the last piece
	Use        float64     `json:"use"`      // area of the pieces / (width × length)
	Placements []Placement `json:"placements"`
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
// keep the gap and the edges, use only allowed turns, and overlap nowhere.
// A cancelled context ends the search with the context's error; a watcher that
// has seen enough ends it with the best layout so far.
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
		out.Rolls = append(out.Rolls, laid)
		out.Findings = append(out.Findings, r.findings(laid)...)
	}
	return out, nil
}

func (r Roll) lay(ctx context.Context, w *watch) (Laid, error) {
	s, err := newStrip(r)
	if err != nil {
		return Laid{}, err
	}
	st, err := bottomLeft(ctx, s)
	if err != nil {
		return Laid{}, err
	}
	w.roll, w.limit = r, int64(float64(r.Search)*workRate)
	if len(st.at) <= maxImproved {
		t := newTeam(ctx, st, w)
		t.search(rand.New(rand.NewPCG(r.Seed, math.MaxUint64)))
		if err := ctx.Err(); err != nil {
			return Laid{}, err
		}
		st = newState(s, t.shortest.at, t.shortest.length)
		st.rate()
	}
	if err := st.slideLeft(ctx); err != nil {
		return Laid{}, err
	}
	w.better(st.extent(), w.limit)
	return r.report(st), nil
}

// newStrip prepares the poses. Lengths are those of the outlines grown by half
// the gap: the strip starts half a gap before the roll and ends half a gap
// short of the edge margin.
func newStrip(r Roll) (*strip, error) {
	s := &strip{height: float64(r.Width-2*r.Edge+r.Gap) + slip}
	s.bound = max(r.longest()+float64(r.Gap), r.area()/s.height)
	for kind, p := range r.Pieces {
		all, err := poses(kind, p, float64(r.Gap))
		if err != nil {
			return nil, fmt.Errorf("piece %q: %w", p.Name, err)
		}
		var ways []int32
		for _, q := range all {
			s.column = max(s.column, q.hx)
			if q.fit.Max.Y-q.fit.Min.Y <= s.height {
				ways = append(ways, int32(len(s.poses)))
				s.poses = append(s.poses, q)
			}
		}
		for range p.Count {
			s.ways = append(s.ways, ways)
		}
	}
	if len(s.poses) > maxPoses {
		return nil, fault.Check("roll.pieces", float64(len(s.poses)), 1, maxPoses, " ways", "pieces times the ways they may lie; split the roll")
	}
	s.pairUp()
	s.link()
	return s, nil
}

// report turns the layout into placements of the pieces' own outlines, shifted
// so that the first starts at 0.
func (r Roll) report(st *state) Laid {
	start, end := math.Inf(1), math.Inf(-1)
	half := float64(r.Gap) / 2
	for _, s := range st.at {
		f := st.poses[s.pose].fit
		start, end = min(start, s.x+f.Min.X+half), max(end, s.x+f.Max.X-half)
	}
	out := Laid{Material: r.Material, Width: r.Width, Length: si.Length(end - start)}
	shift := r2.Vec{X: -start, Y: float64(r.Edge) - half}
	for _, s := range st.at {
		p := st.poses[s.pose]
		piece := r.Pieces[p.kind]
		at := r2.Add(r2.Add(r2.Vec{X: s.x, Y: s.y}, p.origin), shift)
		out.Placements = append(out.Placements, Placement{Piece: piece.Name,
			X: si.Length(at.X), Y: si.Length(at.Y), Turn: si.Angle(p.turn), Flipped: p.flipped})
	}
	out.Use = r.area() / float64(out.Width*out.Length)
	return out
}

// area is what all copies have together.
func (r Roll) area() (sum float64) {
	for _, p := range r.Pieces {
		sum += float64(p.Count) * math.Abs(p.Outline.Area())
	}
	return sum
}
