// Package carrier answers which pieces of cloth are wetted out together between two
// films, from which cup, and where on the film each lies. It needs the pieces in the
// order in which they are laid, the rectangle of film that each has round it, what resin
// each takes, and the cups.
//
// Cups are emptied in the order of the work, so a piece belongs to the cup that wets the
// middle of its share. The pieces of one cup are one batch: they lie side by side on one
// film, a second film of the same size goes over them, and once the resin is through the
// two are cut apart between the rectangles. The order on the film is the order on the
// mould: in rows across the film, from its start, and in each row from the edge at y = 0.
//
// Lengths are metres. x runs along the film, y across it. A placement turns a piece's own
// outline about its origin, then shifts it.
//
// It does not nest: rows keep the order, which at the bench is worth more than film. It
// knows no overlap of rectangles, and no film that is folded over.
package carrier

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// Input is what is wetted out.
type Input struct {
	Film  string       // material
	Width si.Length    // of its roll
	Areal si.ArealMass // of the film; 0: not known
	Keeps si.ArealMass // of resin that a face of the film keeps when it comes off
	Takes []Take       // in the order of the work
	Pots  []si.Mass
}

// Take is what takes resin from the cups: a piece of cloth, or something that has no film,
// such as a core's faces.
type Take struct {
	Piece     string
	Ply       int
	Dry       si.Mass // of the cloth
	Resin     si.Mass
	Area      si.Area      // of the cloth
	Rectangle geom.Polygon // film about the piece's own origin; empty: it has no film
}

// Result is the batches.
type Result struct {
	Film     string          `json:"film"`
	Width    si.Length       `json:"width_m"`
	Length   si.Length       `json:"film_length_m"` // of all films, under and over
	Batches  []Batch         `json:"batches"`
	Findings []fault.Finding `json:"-"`
}

// Batch is what one cup wets, on one film and under another.
type Batch struct {
	Pot    int       `json:"pot"`      // from 1
	Length si.Length `json:"length_m"` // of each of the two films
	Pieces []Placed  `json:"pieces"`   // in the order in which they are laid
}

// Placed is a piece where its rectangle lies on the film.
type Placed struct {
	Order int       `json:"order"` // in which it is laid on the mould, from 1
	Piece string    `json:"piece"`
	Ply   int       `json:"ply"`
	Row   int       `json:"row"` // across the film, from 1 at its start
	X     si.Length `json:"x_m"`
	Y     si.Length `json:"y_m"`
	Turn  si.Angle  `json:"turn_deg"`
	Dry   si.Mass   `json:"cloth_kg"`
	Resin si.Mass   `json:"resin_kg"`            // that stays in the piece
	Kept  si.Mass   `json:"film_keeps_kg"`       // of resin, when the two films come off
	Films si.Mass   `json:"films_kg"`            // the two, cut to the rectangle
	Goal  si.Mass   `json:"weigh_to_kg"`         // cloth, resin and films together; cloth and resin where the film's mass is not known
	Share []Share   `json:"also_from,omitempty"` // of its resin, what other cups give
	Wide  bool      `json:"wider_than_film,omitempty"`
}

// Share is what a piece takes from a cup.
type Share struct {
	Pot  int     `json:"pot"`
	Mass si.Mass `json:"mass_kg"`
}

// Limits of the input.
const (
	mostTakes = 2000
	mostWidth = 20.0 // m
	trifle    = 1e-3 // kg: what is left in a cup anyway
)

// Group divides the pieces among the cups and lays each batch on its film.
func Group(in Input) (Result, error) {
	out := Result{Film: in.Film, Width: in.Width, Batches: []Batch{}}
	if err := in.check(); err != nil {
		return out, err
	}
	at := map[int]int{} // batch by cup
	rects := map[int][]geom.Polygon{}
	order, done, sum := 0, 0.0, in.sum()
	for _, t := range in.Takes {
		from := done
		if done += float64(t.Resin); len(t.Rectangle) == 0 {
			continue
		}
		order++
		shares, main := in.shares(from/sum, done/sum)
		p := in.weighed(t)
		p.Order = order
		for _, s := range shares {
			if s.Pot != main && s.Mass > trifle {
				p.Share = append(p.Share, s)
			}
		}
		if _, ok := at[main]; !ok {
			at[main] = len(out.Batches)
			out.Batches = append(out.Batches, Batch{Pot: main})
		}
		b := &out.Batches[at[main]]
		b.Pieces, rects[main] = append(b.Pieces, p), append(rects[main], t.Rectangle)
	}
	for i := range out.Batches {
		b := &out.Batches[i]
		b.lay(rects[b.Pot], float64(in.Width))
		out.Length += 2 * b.Length
		out.Findings = append(out.Findings, b.findings(in)...)
	}
	return out, nil
}

// weighed is a piece with what the scale shows once it is wet between its films.
func (in Input) weighed(t Take) Placed {
	size := t.Rectangle.Bounds().Size()
	p := Placed{Piece: t.Piece, Ply: t.Ply, Dry: t.Dry, Resin: t.Resin,
		Kept: si.Mass(2 * float64(t.Area) * float64(in.Keeps)), Films: si.Mass(2 * size.X * size.Y * float64(in.Areal))}
	p.Goal = p.Dry + p.Resin + p.Kept + p.Films
	return p
}

func (in Input) check() error {
	if err := fault.Check("wetout.carrier_film width", float64(in.Width), 0.01, mostWidth, " m", "the film's roll"); err != nil {
		return err
	}
	if err := fault.Check("laminate.stack", float64(len(in.Takes)), 0, mostTakes, " pieces", "what one evening wets out"); err != nil {
		return err
	}
	for _, t := range in.Takes {
		if size := t.Rectangle.Bounds().Size(); len(t.Rectangle) > 0 && !(size.X > 0 && size.Y > 0 && !math.IsInf(size.X+size.Y, 0)) {
			return &fault.Input{Field: "plies.carrier", What: "the film round piece " + t.Piece + " has no size"}
		}
	}
	return nil
}

func (in Input) sum() float64 {
	sum := 0.0
	for _, t := range in.Takes {
		sum += float64(t.Resin)
	}
	if sum > 0 {
		return sum
	}
	return 1
}

// shares returns what a piece takes from each cup that wets from one share of the whole
// work to another, and the cup that wets the middle. The masses are of what is mixed.
func (in Input) shares(from, to float64) (out []Share, main int) {
	mixed := 0.0
	for _, m := range in.Pots {
		mixed += float64(m)
	}
	main = max(1, len(in.Pots))
	end := 0.0
	for i, m := range in.Pots {
		begin := end
		end += float64(m)
		a, b := max(from*mixed, begin), min(to*mixed, end)
		if b > a {
			out = append(out, Share{i + 1, si.Mass(b - a)})
		}
		if mid := (from + to) / 2 * mixed; mid >= begin && mid < end {
			main = i + 1
		}
	}
	return out, main
}

// findings tells of pieces that the film is too narrow for.
func (b Batch) findings(in Input) (out []fault.Finding) {
	for _, p := range b.Pieces {
		if !p.Wide {
			continue
		}
		for _, t := range in.Takes {
			if size := t.Rectangle.Bounds().Size(); t.Piece == p.Piece {
				out = append(out, fault.Finding{Stage: "wetout", Severity: fault.Note, Code: "wider-than-carrier-film",
					What: fmt.Sprintf("The film round piece %s is wider than %s.", p.Piece, in.Film), Why: "a piece is wetted out in one, between whole films",
					Do: "Tape two widths side by side, the tape outside, or name a wider film (wetout.carrier_film)."}.
					Against(1000*min(size.X, size.Y), 1000*float64(in.Width), "mm"))
			}
		}
	}
	return out
}

// lay puts the rectangles in rows.
func (b *Batch) lay(rects []geom.Polygon, width float64) {
	start := 0.0
	for n, row := range rows(sizes(rects), width) {
		across := 0.0
		for i := row.from; i < row.to; i++ {
			p := &b.Pieces[i]
			box := rects[i].Bounds()
			if row.turned[i-row.from] {
				p.Turn = si.Degrees(90)
				box = rects[i].Turn(math.Pi / 2).Bounds()
			}
			p.Row, p.X, p.Y = n+1, si.Length(start-box.Min.X), si.Length(across-box.Min.Y)
			across += box.Max.Y - box.Min.Y
			p.Wide = across > width+slip
		}
		start += row.deep
	}
	b.Length = si.Length(start)
}

func sizes(rects []geom.Polygon) (out []r2.Vec) {
	for _, r := range rects {
		out = append(out, r.Bounds().Size())
	}
	return out
}
