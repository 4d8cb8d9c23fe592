package nest

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// Spec is the roll section of a job file. Width, Edge and Pieces stand only
// where pieces are laid without plies.
type Spec struct {
	Search si.Time     `yaml:"search"` // spent on each roll
	Gap    si.Length   `yaml:"gap"`    // least distance between pieces
	Width  si.Length   `yaml:"width"`  // of the roll
	Edge   si.Length   `yaml:"edge"`   // least distance of a piece from the edges
	Pieces []PieceSpec `yaml:"pieces"`
}

// PieceSpec is one line of roll.pieces.
type PieceSpec struct {
	Name    string       `yaml:"name"`
	Count   int          `yaml:"count"`
	Turn    []float64    `yaml:"turn"` // degrees; none means as drawn
	Flip    bool         `yaml:"flip"` // may lie face down
	Outline bind.Points2 `yaml:"outline"`
}

// Input is what is to be laid.
type Input struct {
	Rolls []Roll
	Watch func(Progress) bool // told of progress; false ends the search there; nil: not told
}

// Roll is one kind of roll goods and the pieces that are cut from it.
type Roll struct {
	Material string
	Width    si.Length // of the roll, edge to edge
	Gap      si.Length // least distance between pieces
	Edge     si.Length // least distance of a piece from either edge
	Pieces   []Piece
	Search   si.Time // how long to search on the reference machine; see workRate
	Seed     uint64  // of the search: the same seed gives the same layout
}

// Piece is an outline, how often it is needed and how it may lie.
type Piece struct {
	Name    string
	Outline geom.Polygon // about the piece's own origin, m
	Count   int
	Turns   []si.Angle // allowed; none means as drawn
	Flip    bool       // may lie face down
}

// Input is the spec's pieces as one roll without a material's name.
func (s Spec) Input(seed uint64) Input {
	r := Roll{Width: s.Width, Gap: s.Gap, Edge: s.Edge, Search: s.Search, Seed: seed}
	for _, p := range s.Pieces {
		piece := Piece{Name: p.Name, Count: p.Count, Flip: p.Flip, Outline: geom.Polygon(p.Outline.P)}
		for _, t := range p.Turn {
			piece.Turns = append(piece.Turns, si.Degrees(t))
		}
		r.Pieces = append(r.Pieces, piece)
	}
	return Input{Rolls: []Roll{r}}
}

// Limits of the input.
const (
	maxCount  = 10_000 // copies of a piece, and of all pieces of a roll
	maxWidth  = 20.0   // m; wider than any loom
	maxGap    = 0.5    // m
	maxSearch = 3600.0 // s
	maxCorner = 5000   // corners of an outline
	weld      = 1e-7   // m; corners closer than this are one
)

// check returns the roll with clean outlines, or why it can't be laid.
func (r Roll) check() (Roll, error) {
	for _, c := range []error{
		fault.Check("roll.width", float64(r.Width), 1e-3, maxWidth, " m", "the width of the cloth as it comes"),
		fault.Check("roll.gap", float64(r.Gap), 0, maxGap, " m", "the distance between pieces"),
		fault.Check("roll.edge", float64(r.Edge), 0, float64(r.Width)/2, " m", "both edges leave some width to lay on"),
		fault.Check("roll.search", float64(r.Search), 0, maxSearch, " s", "an hour for a roll is enough"),
	} {
		if c != nil {
			return r, c
		}
	}
	if len(r.Pieces) == 0 {
		return r, &fault.Input{Field: "roll.pieces", What: "there is nothing to lay" + r.on(), Do: "give at least one piece"}
	}
	pieces, copies := make([]Piece, len(r.Pieces)), 0
	names := map[string]bool{}
	for i, p := range r.Pieces {
		field := "roll." + fault.Numbered("pieces", i)
		if names[p.Name] {
			return r, &fault.Input{Field: field + ".name", What: fmt.Sprintf("a second piece is called %q", p.Name), Do: "give each piece its own name"}
		}
		names[p.Name] = true
		q, err := p.check(field)
		if err != nil {
			return r, err
		}
		pieces[i] = q
		copies += q.Count
	}
	if copies > maxCount {
		return r, fault.Check("roll.pieces", float64(copies), 1, maxCount, " copies", "the copies of all pieces together; split the roll")
	}
	r.Pieces = pieces
	return r, r.checkWidths()
}

func (r Roll) on() string {
	if r.Material == "" {
		return ""
	}
	return " on " + r.Material
}

func (p Piece) check(field string) (Piece, error) {
	if p.Count < 1 || p.Count > maxCount {
		return p, fault.Check(field+".count", float64(p.Count), 1, maxCount, "", "copies of one piece")
	}
	for i, t := range p.Turns {
		if math.IsNaN(float64(t)) || math.IsInf(float64(t), 0) {
			return p, &fault.Input{Field: fault.Numbered(field+".turn", i), What: "is not a number", Do: "write degrees, like 180"}
		}
	}
	if len(p.Outline) > maxCorner {
		return p, fault.Check(field+".outline", float64(len(p.Outline)), 3, maxCorner, " corners", "more tell a blade nothing")
	}
	p.Outline = p.Outline.Clean(weld)
	if err := p.Outline.Valid(); err != nil {
		return p, &fault.Input{Field: field + ".outline",
			What: fmt.Sprintf("%q is not one simple outline (%v)", p.Name, err),
			Do:   "draw a border that neither crosses nor touches itself"}
	}
	return p, nil
}

// checkWidths refuses a piece that is wider than the roll in all its turns.
func (r Roll) checkWidths() error {
	usable := float64(r.Width - 2*r.Edge)
	for i, p := range r.Pieces {
		if !math.IsInf(p.shortest(usable), 1) {
			continue
		}
		least := math.Inf(1)
		for _, b := range p.boxes() {
			least = min(least, b.Max.Y-b.Min.Y)
		}
		return &fault.Input{Field: "roll." + fault.Numbered("pieces", i),
			What: fmt.Sprintf("%q is %.1f mm wide at its narrowest allowed turn, and %.1f mm of the roll can be used (%.1f mm less %.1f mm at each edge)",
				p.Name, 1e3*least, 1e3*usable, 1e3*float64(r.Width), 1e3*float64(r.Edge)),
			Do: "take a wider roll, allow another turn, or part the piece with a seam"}
	}
	return nil
}

// shortest is the least length that the piece takes along the roll among the
// ways it may lie within the usable width; +Inf where there is none.
func (p Piece) shortest(usable float64) float64 {
	least := math.Inf(1)
	for _, b := range p.boxes() {
		if b.Max.Y-b.Min.Y <= usable+slip {
			least = min(least, b.Max.X-b.Min.X)
		}
	}
	return least
}

// boxes are the boxes of the piece in all the ways it may lie.
func (p Piece) boxes() []r2.Box {
	var out []r2.Box
	for _, turn := range distinct(p.Turns) {
		out = append(out, laid(p.Outline, turn, false).Bounds())
		if p.Flip {
			out = append(out, laid(p.Outline, turn, true).Bounds())
		}
	}
	return out
}
