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

	Turn    []float64    `yaml:"turn"`    // degrees that pieces of cloth may be turned; none: 0 and 180. 90 for balanced cloth only. For pieces given here where they say nothing else
	Flip    bool         `yaml:"flip"`    // pieces may lie face down where both faces of the cloth are alike
	Tilt    si.Angle     `yaml:"tilt"`    // how far a piece may lie askew of its warp
	Table   si.Length    `yaml:"table"`   // of the cutting table: nothing lies across its end; 0: as long as the roll
	ByHand  bool         `yaml:"by_hand"` // cut across the roll into blanks first, a ply each
	SoldBy  si.Length    `yaml:"sold_by"` // cloth is bought in whole lengths of this
	Stock   []StockSpec  `yaml:"stock"`   // what lies in the shop: used first
	Shelf   string       `yaml:"shelf"`   // file with more stock, as a plan leaves it
	Defects []DefectSpec `yaml:"defects"` // on the roll that is used after the stock
}

// PieceSpec is one line of roll.pieces.
type PieceSpec struct {
	Name    string       `yaml:"name"`
	Count   int          `yaml:"count"`
	Turn    []float64    `yaml:"turn"`  // degrees; none means as roll.turn, or as drawn
	Flip    bool         `yaml:"flip"`  // may lie face down
	Group   string       `yaml:"group"` // pieces of one group come from one lot
	Outline bind.Points2 `yaml:"outline"`
	File    string       `yaml:"file"`  // a drawing, DXF or SVG, whose closed outlines are pieces like this
	Unit    string       `yaml:"unit"`  // of the drawing, where it says none or a wrong one
	Layer   string       `yaml:"layer"` // of the drawing; none: cut where there is one, else all
}

// StockSpec is a roll or a remnant in the shop: outline for a remnant, width and
// length for a roll.
type StockSpec struct {
	Name     string       `yaml:"name"`
	Material string       `yaml:"material"`
	Lot      string       `yaml:"lot"`
	Width    si.Length    `yaml:"width"`
	Length   si.Length    `yaml:"length"`
	Outline  bind.Points2 `yaml:"outline"` // x along the warp
	Defects  []DefectSpec `yaml:"defects"`
}

// DefectSpec is a place on a roll that nothing is cut from. x runs along the roll
// from its start, y across it from one edge.
type DefectSpec struct {
	Material string       `yaml:"material"` // none: on every roll
	From     si.Length    `yaml:"from"`     // across the whole width, from here
	To       si.Length    `yaml:"to"`       // to here
	Outline  bind.Points2 `yaml:"outline"`
}

// ring is the outline of a defect.
func (d DefectSpec) ring() geom.Polygon {
	if len(d.Outline.P) == 0 {
		if !(d.From >= 0 && d.From < d.To) {
			return nil // which the check of the roll refuses
		}
		return geom.Rect(float64(d.From), 0, float64(d.To), maxWidth)
	}
	return geom.Polygon(d.Outline.P)
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

	Tilt    si.Angle       // how far a piece may lie askew of an allowed turn
	Table   si.Length      // distance of lines that nothing may lie across; 0: none
	ByHand  bool           // cut into blanks across the roll, a group each
	SoldBy  si.Length      // the roll is bought in whole lengths of this; 0: cut to measure
	Stock   []Stock        // used before the roll
	Defects []geom.Polygon // on the roll, m
	Remnant string         // what remnants' names begin with
}

// Stock is a roll or a remnant that is in the shop.
type Stock struct {
	Name     string         `json:"name"`
	Material string         `json:"material"`
	Lot      string         `json:"lot,omitempty"`
	Width    si.Length      `json:"width_m,omitempty"`
	Length   si.Length      `json:"length_m,omitempty"`
	Outline  [][2]float64   `json:"outline_m,omitempty"` // of a remnant; x along the warp
	Defects  [][][2]float64 `json:"defects_m,omitempty"`
}

// Piece is an outline, how often it is needed and how it may lie.
type Piece struct {
	Name    string
	Outline geom.Polygon // about the piece's own origin, m
	Count   int
	Turns   []si.Angle // allowed; none means as drawn
	Flip    bool       // may lie face down
	Group   string     // pieces of one group come from one lot; none: from any
}

// Input is the spec's pieces as one roll without a material's name.
func (s Spec) Input(seed uint64) Input {
	r := s.Roll("", seed)
	r.Width, r.Edge, r.Search = s.Width, s.Edge, s.Search
	for _, p := range s.Pieces {
		piece := Piece{Name: p.Name, Count: p.Count, Flip: p.Flip, Group: p.Group, Outline: geom.Polygon(p.Outline.P)}
		turn := p.Turn
		if turn == nil {
			turn = s.Turn
		}
		for _, t := range turn {
			piece.Turns = append(piece.Turns, si.Degrees(t))
		}
		r.Pieces = append(r.Pieces, piece)
	}
	return Input{Rolls: []Roll{r}}
}

// Roll is an empty roll of a material under the rules of the spec, with the stock and
// the defects that are of that material.
func (s Spec) Roll(material string, seed uint64) Roll {
	r := Roll{Material: material, Gap: s.Gap, Seed: seed, Tilt: s.Tilt, Table: s.Table, ByHand: s.ByHand, SoldBy: s.SoldBy}
	for _, d := range s.Defects {
		if d.Material == "" || d.Material == material {
			r.Defects = append(r.Defects, d.ring())
		}
	}
	for _, x := range s.Stock {
		if x.Material == material {
			r.Stock = append(r.Stock, x.stock())
		}
	}
	return r
}

func (s StockSpec) stock() Stock {
	out := Stock{Name: s.Name, Material: s.Material, Lot: s.Lot, Width: s.Width, Length: s.Length, Outline: pairs(s.Outline.P)}
	for _, d := range s.Defects {
		out.Defects = append(out.Defects, pairs(d.ring()))
	}
	return out
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
	if err := r.checkRules(); err != nil {
		return r, err
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
		shortest := p.shortest(usable)
		if math.IsInf(shortest, 1) {
			shortest = r.widestStock(p)
		}
		if t := float64(r.Table); t > 0 && !math.IsInf(shortest, 1) && shortest > t-2*hair {
			return &fault.Input{Field: "roll." + fault.Numbered("pieces", i),
				What: fmt.Sprintf("%q is %.1f mm long at its shortest allowed turn, and the cutting table %.1f mm", p.Name, 1e3*shortest, 1e3*t),
				Do:   "take a longer table, allow another turn, or part the piece with a seam"}
		}
		if !math.IsInf(shortest, 1) {
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

// widestStock is the least length that the piece takes along a roll of the stock; +Inf
// where it fits on none.
func (r Roll) widestStock(p Piece) float64 {
	least := math.Inf(1)
	for _, s := range r.Stock {
		least = min(least, p.shortest(float64(s.Width-2*r.Edge)))
	}
	return least
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
