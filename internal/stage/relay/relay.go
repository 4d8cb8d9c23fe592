package relay

import (
	"context"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/cut"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/overlay"
)

// Input is what is put back on the mould.
type Input struct {
	Surface   *mesh.Topology // the whole part, its normals towards the free side
	Plies     []Ply          // from the mould face
	Lap       float64        // asked of seams, m; 0 where they are butted
	Allowance float64        // asked beyond the trim line, m
	Within    []int32        // of each triangle, that of the surface as it was given; nil: they are the same
}

// Ply is one ply as it is cut.
type Ply struct {
	Number    int
	Thickness float64 // of the flat ply, cured, m
	ArealMass float64 // of the flat cloth, kg/m²
	Pieces    []Piece
}

// Piece is one piece of cloth with the ground that it lies on.
type Piece struct {
	*cut.Ground
	Flat     []r2.Vec       // places of the ground's vertices, m
	Outline  [][2]float64   // as cut, m
	Holes    [][][2]float64 // cut out
	Knife    [][][2]float64 // lines cut inside the outline
	Vertices []int32        // the surface's number of each of the ground's vertices, −1 for none; nil: as the ground has it
	Patch    bool           // lies over a seam of the ply; its ground lies on the surface, but has vertices of its own

	Warp, Weft []r3.Vec  // unit vectors at the ground's vertices; nil: not asked for
	Shear      []float64 // there, rad
}

// Result says what the plies cover. Measures of a ply that has no seams, or no
// edge at the trim line, are absent.
type Result struct {
	Plies        []Covered       `json:"plies"`
	ThicknessMax si.Length       `json:"thickness_max_m"`
	ThicknessAt  [3]float64      `json:"thickness_max_at_m"`
	ThicknessMin si.Length       `json:"thickness_min_m"`
	LayersMax    int             `json:"layers_max"`
	StepMax      si.Length       `json:"step_max_m"` // of the free side's height, at an edge of cloth
	StepAt       [3]float64      `json:"step_at_m"`
	DoubledMax   int             `json:"doubled_in_three_max"`              // of any three successive plies, how many lie double over one point
	DoubledAt    [3]float64      `json:"doubled_in_three_at_m"`             // where that is
	DoubledOver  si.Area         `json:"doubled_in_three_over_one_area_m2"` // where it is more than one
	Mass         si.Mass         `json:"cloth_on_part_kg"`
	Stack        Stack           `json:"-"`
	Cloth        []overlay.Cloth `json:"-"` // by ply
}

// Covered is what one ply covers.
type Covered struct {
	Number    int        `json:"number"`
	Coverage  float64    `json:"coverage_share"`
	Uncovered []Place    `json:"uncovered,omitempty"` // largest first
	LapLeast  *si.Length `json:"lap_least_m,omitempty"`
	LapMedian *si.Length `json:"lap_median_m,omitempty"`
	SeamLong  si.Length  `json:"seam_length_m"`
	LapShort  si.Length  `json:"lap_short_m"`    // length of the seams that have less than the asked lap
	Uncut     si.Length  `json:"seam_not_cut_m"` // length over which no cut parts the sides of a seam
	EdgeLeast *si.Length `json:"edge_least_m,omitempty"`
	EdgeMost  *si.Length `json:"edge_most_m,omitempty"`
	Doubled   si.Area    `json:"doubled_area_m2"` // of what lies beyond a first layer
	Mass      si.Mass    `json:"cloth_on_part_kg"`

	Short []Stretch `json:"-"` // of its seams
}

// Place is a place on the part that has no cloth.
type Place struct {
	At   [3]float64 `json:"at_m"`
	Area si.Area    `json:"area_m2"`
}

// Stretch is a length of seam whose lap is short, or that gapes.
type Stretch struct {
	Ply      int      // number
	Route    int      // of the seam's slit
	From, To float64  // along the seam from where the slit begins, m
	Least    float64  // width that lies double, m; below 0 the cloth gapes by that much
	Left     float64  // how far the cloth of either side reaches over the seam at least, m,
	Right    float64  // below 0 where it ends short of it
	Line     []r3.Vec // on the surface
}

// Stack is the height of the laid plies by vertex of the surface, means over the
// triangles there, so that the sum of thickness times area is the volume laid.
type Stack struct {
	Layers    []float64
	Thickness []float64 // m
}

// hands is how many plies are put back at the same time; the result does not
// depend on it.
const hands = 2

// Lay puts the plies back on the surface and measures what they cover.
func Lay(ctx context.Context, in Input) (Result, error) {
	if err := in.check(); err != nil {
		return Result{}, err
	}
	l := newLand(in.Surface)
	plies := make([]*laid, len(in.Plies))
	out := Result{Plies: make([]Covered, len(in.Plies))}
	var group sync.WaitGroup
	room := make(chan struct{}, hands)
	first := make([]int, len(in.Plies)) // of the plies that are cut alike
	for i := range in.Plies {
		if first[i] = firstAlike(in.Plies[:i+1]); first[i] < i {
			continue
		}
		group.Add(1)
		go func() {
			defer group.Done()
			room <- struct{}{}
			if ctx.Err() == nil {
				plies[i], out.Plies[i] = measure(l, &in.Plies[i], in)
			}
			<-room
		}()
	}
	group.Wait()
	if err := ctx.Err(); err != nil {
		return Result{}, err
	}
	for i, j := range first {
		if j < i {
			plies[i], out.Plies[i] = again(plies[j], out.Plies[j], &in.Plies[i])
		}
		out.Mass += out.Plies[i].Mass
	}
	out.stackUp(l, plies)
	out.Cloth = make([]overlay.Cloth, len(plies))
	for i, j := range first {
		if out.Cloth[i] = out.Cloth[j]; j == i {
			out.Cloth[i] = plies[i].clothOn(in)
		}
	}
	return out, nil
}

// firstAlike returns which ply is the first that is cut like the last.
func firstAlike(plies []Ply) int {
	last := &plies[len(plies)-1]
	return slices.IndexFunc(plies, func(p Ply) bool { return slices.EqualFunc(p.Pieces, last.Pieces, alike) })
}

func alike(a, b Piece) bool {
	line := func(a, b [][2]float64) bool { return slices.Equal(a, b) }
	return a.Ground == b.Ground && a.Patch == b.Patch && slices.Equal(a.Outline, b.Outline) && slices.EqualFunc(a.Holes, b.Holes, line) &&
		slices.EqualFunc(a.Knife, b.Knife, line) && slices.Equal(a.Flat, b.Flat) && slices.Equal(a.Vertices, b.Vertices)
}

// again is a ply that is cut like one that was laid before.
func again(y *laid, c Covered, p *Ply) (*laid, Covered) {
	twin := *y
	twin.ply = p
	twin.steps = nil // they stand with the first
	c.Number, c.Mass = p.Number, si.Mass(y.used*p.ArealMass)
	c.Short = slices.Clone(c.Short)
	for i := range c.Short {
		c.Short[i].Ply = p.Number
	}
	return &twin, c
}
