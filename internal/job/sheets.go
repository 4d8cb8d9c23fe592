package job

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould"
	"laywright/internal/stage/nest"
)

// Sheets is the mould's boards laid on the sheets that they are sawn from.
type Sheets struct {
	Material  string    `json:"material,omitempty"`
	Length    si.Length `json:"length_m"` // of a sheet, along its grain where it has one
	Width     si.Length `json:"width_m"`
	Thickness si.Length `json:"thickness_m"`
	Needed    int       `json:"needed"`
	Use       float64   `json:"use"` // area of the pieces / area of the sheets
	Sheets    []Sheet   `json:"sheets,omitempty"`
	TooLarge  []string  `json:"too_large,omitempty"` // pieces that no sheet gives whole

	Outlines map[string]geom.Region `json:"-"` // of the pieces, about their own datum
}

// Sheet is one sheet with what is sawn from it. x runs along its length.
type Sheet struct {
	Use        float64          `json:"use"`
	Placements []nest.Placement `json:"placements"`
}

// easedBy is how far the outline that is laid may stand off the one that is sawn, m:
// far less than the gap. So much is kept off the sheet's edges too.
const easedBy = 0.3e-3

// toLay is a piece and the ways it may lie.
type toLay struct {
	nest.Piece
	area float64
}

// lay lays the mould's boards on sheets. Where that fails the boards are there all the
// same, and a finding says so.
func (l link) lay(ctx context.Context) (*Sheets, []fault.Finding, error) {
	out, more, err := l.laid(ctx)
	if err == nil || ctx.Err() != nil {
		return out, more, err
	}
	return nil, []fault.Finding{{Stage: "mould", Severity: fault.Note, Code: "boards-not-laid", What: "The boards are not laid on sheets.", Why: err.Error(), Do: "Lay the drawings on the sheet by hand"}}, nil
}

// laid lays the mould's boards on sheets, as the roll's engine lays cloth on a roll of
// the sheet's width: largest first, each on the first sheet whose layout stays within
// its length.
func (l link) laid(ctx context.Context) (*Sheets, []fault.Finding, error) {
	if l.plan.Mould == nil || l.plan.Mould.Build == nil {
		return nil, nil, nil
	}
	b := l.plan.Mould.Build
	out := &Sheets{Material: b.BoardMaterial, Length: b.Sheet.Length, Width: b.Sheet.Width, Thickness: b.BoardThickness, Outlines: map[string]geom.Region{}}
	pieces := out.pieces(b)
	var open [][]toLay
	for _, p := range pieces {
		if !out.fits(p) {
			out.TooLarge = append(out.TooLarge, p.Name)
			continue
		}
		placed := false
		for i := range open {
			laid, ok, err := out.on(ctx, b.Gap, append(slices.Clone(open[i]), p))
			if err != nil {
				return nil, nil, err
			}
			if ok {
				open[i], out.Sheets[i], placed = append(open[i], p), laid, true
				break
			}
		}
		if placed {
			continue
		}
		laid, ok, err := out.on(ctx, b.Gap, []toLay{p})
		if err != nil {
			return nil, nil, err
		}
		if !ok {
			out.TooLarge = append(out.TooLarge, p.Name)
			continue
		}
		open, out.Sheets = append(open, []toLay{p}), append(out.Sheets, laid)
	}
	out.Needed = len(out.Sheets)
	for _, s := range out.Sheets {
		out.Use += s.Use / float64(out.Needed)
	}
	return out, out.findings(), nil
}

// pieces lists what is sawn, the largest first. Where the material has a grain a
// piece lies so that it runs as the board asks.
func (s *Sheets) pieces(b *mould.Build) (out []toLay) {
	add := func(name string, r geom.Region, turns ...float64) {
		p := toLay{nest.Piece{Name: name, Count: 1, Outline: geom.Simplify(r.Outer.Anticlockwise(), easedBy)}, r.Area()}
		for _, deg := range turns {
			p.Turns = append(p.Turns, si.Degrees(deg))
		}
		s.Outlines[name] = r
		out = append(out, p)
	}
	if b.Stack != nil {
		for _, board := range b.Stack.Boards {
			turns := []float64{0, 90, 180, 270}
			if b.Grain && board.Grain == b.Axes[0] {
				turns = []float64{0, 180}
			} else if b.Grain {
				turns = []float64{90, 270}
			}
			for _, p := range board.Pieces {
				add(p.Name, p.Outline, turns...)
			}
		}
	}
	if b.Frame != nil {
		for _, f := range b.Frame.Formers {
			for i, r := range f.Outline {
				name := f.Name
				if len(f.Outline) > 1 {
					name += string(rune('a' + i))
				}
				add(name, r, 0, 90, 180, 270)
			}
		}
	}
	slices.SortStableFunc(out, func(p, q toLay) int { return cmp.Compare(q.area, p.area) })
	return out
}

// fits tells whether a sheet gives the piece at all.
func (s *Sheets) fits(p toLay) bool {
	for _, t := range p.Turns {
		size := p.Outline.Turn(float64(t)).Bounds().Size()
		if size.X <= float64(s.Length)-2*easedBy && size.Y <= float64(s.Width)-2*easedBy {
			return true
		}
	}
	return false
}

// on lays pieces on one sheet; false where it is too short for them. Boards are much
// alike and mostly square-cornered, so that a layout with all of them the same way
// round is tried where a free one does not fit.
func (s *Sheets) on(ctx context.Context, gap si.Length, of []toLay) (Sheet, bool, error) {
	area, whole := 0.0, float64(s.Length)*float64(s.Width)
	for _, p := range of {
		area += p.area
	}
	if area > whole {
		return Sheet{}, false, nil
	}
	for _, way := range []func(si.Angle) bool{nil, lengthwise, crosswise} {
		roll := nest.Roll{Material: s.Material, Width: s.Width, Gap: gap, Edge: easedBy}
		for _, p := range of {
			roll.Pieces = append(roll.Pieces, p.turnedBy(way, float64(s.Width)-2*easedBy))
		}
		laid, err := nest.Lay(ctx, nest.Input{Rolls: []nest.Roll{roll}})
		if err != nil {
			return Sheet{}, false, fmt.Errorf("boards on a sheet: %w", err)
		}
		r := laid.Rolls[0]
		if r.Length > s.Length-2*easedBy {
			continue
		}
		for i := range r.Placements {
			r.Placements[i].X += easedBy
		}
		return Sheet{Use: area / whole, Placements: r.Placements}, true, nil
	}
	return Sheet{}, false, nil
}

func lengthwise(t si.Angle) bool { return math.Abs(math.Sin(float64(t))) < 0.5 }
func crosswise(t si.Angle) bool  { return !lengthwise(t) }

// turnedBy keeps the turns that a way allows, where the piece fits in one of them.
func (p toLay) turnedBy(way func(si.Angle) bool, width float64) nest.Piece {
	if way == nil {
		return p.Piece
	}
	out := p.Piece
	out.Turns = nil
	for _, t := range p.Turns {
		if way(t) && p.Outline.Turn(float64(t)).Bounds().Size().Y <= width {
			out.Turns = append(out.Turns, t)
		}
	}
	if len(out.Turns) == 0 {
		return p.Piece
	}
	return out
}

func (s *Sheets) findings() (out []fault.Finding) {
	for _, name := range s.TooLarge {
		size := s.Outlines[name].Outer.Bounds().Size()
		out = append(out, fault.Finding{Stage: "mould", Severity: fault.Caution, Code: "board-too-large",
			What: fmt.Sprintf("Piece %s of the mould, %.0f × %.0f mm, is larger than a sheet of %.0f × %.0f mm.", name, 1e3*size.X, 1e3*size.Y, 1e3*float64(s.Length), 1e3*float64(s.Width)),
			Why:  "it can't be sawn out in one",
			Do:   "Join it from two with a straight joint, away from the joints of the boards next to it, or write a larger mould.build.sheet",
		}.Against(s.sticksOut(size.X, size.Y)))
	}
	return out
}

// sticksOut returns the side of a piece that is too long for the sheet, and the
// sheet's, mm. A piece that would fit turned has to lie along the grain, and its
// longer side crosses the sheet's shorter one.
func (s *Sheets) sticksOut(x, y float64) (side, limit float64, unit string) {
	length, width := float64(s.Length), float64(s.Width)
	long, short, most, least := max(x, y), min(x, y), max(length, width), min(length, width)
	switch {
	case long > most:
		return 1e3 * long, 1e3 * most, "mm"
	case short > least:
		return 1e3 * short, 1e3 * least, "mm"
	}
	return 1e3 * long, 1e3 * least, "mm"
}
