package dress

import (
	"context"
	"fmt"
	"math"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/stage/flat"
	"laywright/internal/stage/relay"
)

// Limits of the findings.
const (
	leastCover = 0.999 // of the part; more bare than that is a hole in the sheet
	areaApart  = 0.05  // of the bag's area by which that of the pieces may differ unsaid
	edgeShare  = 0.5   // of the margin that must be left where a sheet comes short past the edge
)

// putBack puts the pieces of one layer back on the mould and measures what they cover.
func (w *work) putBack(ctx context.Context, s Sheet, beds []bed, l *Laid) error {
	ply := relay.Ply{Number: 1, Thickness: 1, ArealMass: 1}
	for i, b := range beds {
		p := l.Pieces[i]
		ply.Pieces = append(ply.Pieces, relay.Piece{Ground: b.Ground, Flat: b.Flat, Outline: p.Outline, Holes: p.Holes, Knife: p.Knife, Vertices: b.vertices})
	}
	r, err := relay.Lay(ctx, relay.Input{Surface: w.top, Plies: []relay.Ply{ply}, Lap: float64(s.Lap), Allowance: float64(s.Margin)})
	if err != nil {
		return err
	}
	c := r.Plies[0]
	l.Coverage, l.Edge, l.Seams, l.Gapes = c.Coverage, c.EdgeLeast, c.SeamLong, c.LapShort
	return nil
}

// findings says what to mind about a sheet.
func (s Sheet) findings(l Laid, part float64) (out []fault.Finding) {
	add := func(sev fault.Severity, code, what, why, do string, value, limit float64, unit string) {
		out = append(out, fault.Finding{Stage: "bag", Severity: sev, Code: code, What: what, Why: why, Do: do}.Against(value, limit, unit))
	}
	if over := float64(l.Over); over > trifle*part {
		what := fmt.Sprintf("The %s is over what it gives on %.0f cm², %.0f %% of the part.", s.Use, 1e4*over, 100*over/part)
		switch {
		case s.Woven:
			add(fault.Note, "sheet-locks", what, "the part closes in more there than the weave shears", "Let it stand in small pleats there, or snip it from the edge and lap it.",
				l.ShearMax.Degrees(), l.Locking.Degrees(), "deg")
		case l.drawn > l.Over/2:
			add(fault.Note, "sheet-too-tight", what, "the part opens there, and the sheet would have to be longer than it is", "Snip it from the edge until it lies, and lay scraps of it in the gaps.",
				100**l.Change, 100**l.Takes, "%")
		default:
			add(fault.Note, "sheet-in-pleats", what, "a sheet that does not shear can't lie on what is curved both ways", "Let it lie loose in small pleats there, led away from the part's middle; do not stretch it over a hollow.",
				100**l.Change, 100**l.Takes, "%")
		}
	}
	if l.Coverage < leastCover {
		add(fault.Caution, "sheet-leaves-bare", fmt.Sprintf("The pieces of the %s leave %.1f cm² of the part bare when they are put back.", s.Use, 1e4*(1-l.Coverage)*part),
			"beside a slit the part opens, and the sheet has nothing for it", "Lay a scrap of the same over it.", 100*l.Coverage, 100*leastCover, "% of the part")
	}
	if least := edgeShare * float64(s.Margin); l.Edge != nil && float64(*l.Edge) < least {
		add(fault.Note, "sheet-short-at-edge", fmt.Sprintf("The %s comes only %.0f mm past the part's edge at its shortest.", s.Use, 1000*float64(*l.Edge)),
			"where it is pressed together it draws back", "Cut it larger there.", 1000*float64(*l.Edge), 1000*least, "mm")
	}
	if apart := math.Abs(float64(l.Area/l.Expected) - 1); l.Expected > 0 && apart > areaApart {
		add(fault.Note, "sheet-area-differs", fmt.Sprintf("The %s as cut has %.3f m² a layer, and the bag's estimate is %.3f m².", s.Use, float64(l.Area), float64(l.Expected)),
			"the estimate is the part's area with a straight margin; pieces have laps, and margins that bend", "Nothing: masses and the bleeder's capacity go by the estimate, cutting by the pieces.",
			100*apart, 100*areaApart, "%")
	}
	return append(out, s.uncuttable(l)...)
}

// uncuttable tells of pieces that no roll gives.
func (s Sheet) uncuttable(l Laid) (out []fault.Finding) {
	for _, p := range l.Pieces {
		if !s.Drawn(p) {
			out = append(out, fault.Finding{Stage: "bag", Severity: fault.Note, Code: "sheet-not-flat",
				What: fmt.Sprintf("Piece %s of the %s would overlap itself in the flat and is not drawn.", p.Name, s.Use), Why: "the part closes round on itself more than one flat piece can",
				Do: "Cut it on the mould by hand, from pieces that lap."})
			continue
		}
		if wide := narrowest(flat.Polygon(p.Outline)); s.Width > 0 && wide > float64(s.Width) {
			out = append(out, fault.Finding{Stage: "bag", Severity: fault.Note, Code: "sheet-wider-than-roll",
				What: fmt.Sprintf("Piece %s of the %s is wider than its roll.", p.Name, s.Use), Why: "no line was found to part it along",
				Do: "Cut it from two widths that lap, or take a wider roll."}.Against(1000*wide, 1000*float64(s.Width), "mm"))
		}
	}
	return out
}

// Drawn tells whether a piece has an outline that can be cut in one.
func (s Sheet) Drawn(p flat.Piece) bool {
	return !p.Overlaps && len(p.Outline) >= 3 && flat.Polygon(p.Outline).Valid() == nil
}

// FromRoll tells whether the sheet's roll gives a piece, turned by quarter turns.
func (s Sheet) FromRoll(p flat.Piece) bool {
	return s.Drawn(p) && narrowest(flat.Polygon(p.Outline)) <= float64(s.Width)
}

func narrowest(p geom.Polygon) float64 {
	size := p.Bounds().Size()
	return min(size.X, size.Y)
}
