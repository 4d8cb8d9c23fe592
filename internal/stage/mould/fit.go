package mould

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/offset"
	"laywright/internal/stage/mould/skin"
)

// Fit says how the mould's face was moved from what is drawn, and how wrong the
// part would be had it not been.
type Fit struct {
	Drawn  Drawn          `json:"drawn"`
	Wall   si.Length      `json:"wall_m"`   // nominal thickness reckoned with
	Offset si.Length      `json:"offset_m"` // of the face from what is drawn, outward from the solids
	Gel    si.Temperature `json:"gel_degC"` // at which part and mould part company in size
	Shop   si.Temperature `json:"shop_degC"`
	Scale  float64        `json:"ratio"` // of the mould against what is drawn, both at the shop's temperature

	MouldAlpha *si.Expansion `json:"mould_alpha_per_K,omitempty"`
	PartAlpha  *si.Expansion `json:"part_alpha_per_K,omitempty"` // in the laminate's plane

	Wrong []si.Length `json:"else_wrong_m"` // along x, y and z: by how much the drawn side would come out too large
	Says  string      `json:"says"`
}

// move is how a face is moved from what is drawn: first made larger about the
// origin by a factor, then moved out.
type move struct {
	scale float64
	out   float64 // m
	wall  float64 // m, nominal thickness; 0: not known
}

func (m move) place(p r3.Vec) r3.Vec { return r3.Scale(m.scale, p) }

// cut makes a cutter larger with what it cuts.
func (m move) cut(c skin.Cut) skin.Cut {
	if m.scale == 1 {
		return c
	}
	c.Field = scaledCut{c.Field, m.scale}
	if c.Near != nil {
		near := m.place(*c.Near)
		c.Near = &near
	}
	return c
}

type scaledCut struct {
	of skin.Field
	by float64
}

func (c scaledCut) At(p r3.Vec) (float64, r3.Vec) {
	d, n := c.of.At(r3.Scale(1/c.by, p))
	return c.by * d, n
}

// moveFor works out how the face is moved.
//
//	out = −t  where the outside of a part on a plug is drawn
//	out = +t  where the inside of a part in a cavity is
//	s = (1 + α_p ΔT)/(1 + α_m ΔT),  ΔT = T_gel − T_shop
//
// t is the stack's nominal thickness, α_m the expansion of the mould's first
// material that has one, α_p the laminate's in its plane. The part takes the
// mould's size where the resin sets, and both shrink by their own law from
// there. It leaves out the resin's shrinkage after it has set, and that a part
// may grow unlike along and across.
func moveFor(in Input) (move, error) {
	s := in.Mould
	m := move{scale: 1, wall: orElse(s.Wall, float64(in.Laminate.Thickness))}
	if s.Wall < 0 || m.wall > largest {
		return m, within("mould.wall", float64(s.Wall), 0, largest, "a wall's thickness")
	}
	switch s.Drawn {
	case "", MouldFace:
		return m, nil
	case Inside, Outside:
	default:
		return m, &fault.Input{Field: "mould.drawn", What: "drawn is " + string(s.Drawn), Do: "write mould face, inside of part or outside of part"}
	}
	if free := (s.Drawn == Outside) != (s.Kind == Cavity); free {
		if m.wall == 0 {
			return m, &fault.Input{Field: "mould.drawn", What: "the wall's thickness is not known, so the mould's face can't be moved by it", Do: "write the laminate's stack, or mould.wall"}
		}
		m.out = -m.wall
		if s.Kind == Cavity {
			m.out = m.wall
		}
	}
	if part, grows := in.Laminate.Expansion, in.expansion(); part != nil && grows != nil {
		up := float64(gelOf(in) - in.Laminate.Shop)
		m.scale = (1 + float64(*part)*up) / (1 + float64(*grows)*up)
	}
	return m, nil
}

// expansion returns that of the mould's first material that has one.
func (in Input) expansion() *si.Expansion {
	for _, one := range in.Materials {
		if one.Record.Alpha.Known {
			return &one.Record.Alpha.Value
		}
	}
	return nil
}

// gelOf returns the temperature at which the resin is taken to set.
func gelOf(in Input) si.Temperature {
	if in.Mould.Gel != nil {
		return *in.Mould.Gel
	}
	return in.Laminate.Shop
}

// judgeFit tells how the face was moved, and where the move was too large for a
// radius.
func (r *Result) judgeFit(in Input, b *shape, whole skin.Made) {
	s, m := in.Mould, b.moved
	if s.Drawn == "" || s.Drawn == MouldFace {
		r.tellFreeSide(s.Kind, m.wall, len(b.solids))
		return
	}
	f := &Fit{Drawn: s.Drawn, Wall: si.Length(m.wall), Offset: si.Length(m.out), Gel: gelOf(in), Shop: in.Laminate.Shop, Scale: m.scale,
		MouldAlpha: in.expansion(), PartAlpha: in.Laminate.Expansion}
	size := r3.Scale(1/m.scale, r3.Sub(b.bounds.Max, b.bounds.Min))
	upright := 1.0 // sides of the height that move: the base plane stays, or moves with the flange
	if b.ground {
		upright = 0
	}
	for k, l := range [3]float64{size.X, size.Y, size.Z} {
		sides := 2.0
		if k == 2 {
			sides = upright
		}
		f.Wrong = append(f.Wrong, si.Length(-sides*m.out+l*(1/m.scale-1)))
	}
	side := "inside"
	if s.Drawn == Outside {
		side = "outside"
	}
	r.Fit = f
	wrong := wrongBy(f.Wrong)
	if wrong == right {
		f.Says = fmt.Sprintf("Carved to the drawn sizes, the part's %s comes out right.", side)
		r.judgeTight(b, whole)
		return
	}
	f.Says = fmt.Sprintf("Carved to the drawn sizes, the part's %s would come out %s; the mould is made to suit.", side, wrong)
	var why string
	switch grown := math.Abs(m.scale-1) > 1e-7; {
	case m.out != 0 && grown:
		why = fmt.Sprintf("the wall is %.2f mm thick, and mould and part grow unlike up to %.0f degC", 1e3*m.wall, f.Gel.Celsius())
	case m.out != 0:
		why = fmt.Sprintf("the wall is %.2f mm thick", 1e3*m.wall)
	default:
		why = fmt.Sprintf("mould and part grow unlike up to %.0f degC", f.Gel.Celsius())
	}
	r.find(fault.Note, "size-moved", f.Says, why, "Measure the mould against its own drawings, not against the part's.")
	r.judgeTight(b, whole)
}

// tellFreeSide says how far the side that does not lie on the mould is from what
// is drawn: the commonest way for a part not to fit.
func (r *Result) tellFreeSide(k Kind, wall float64, solids int) {
	if wall == 0 || solids == 0 {
		return
	}
	side, other, grows := "outside", Outside, "larger"
	if k == Cavity {
		side, other, grows = "inside", Inside, "smaller"
	}
	r.find(fault.Note, "free-side", fmt.Sprintf("The mould's face is drawn: the part's %s comes out %.2f mm %s across.", side, 2e3*wall, grows),
		fmt.Sprintf("the wall is %.2f mm thick", 1e3*wall), fmt.Sprintf("If that side must fit, write mould.drawn: %s.", other))
}

// wrongBy words how far a size is off along x, y and z.
func wrongBy(wrong []si.Length) string {
	var x, y, z = tooLarge(wrong[0]), tooLarge(wrong[1]), tooLarge(wrong[2])
	if x == y && y == z {
		return x
	}
	return fmt.Sprintf("%s along x, %s along y and %s along z", x, y, z)
}

const right = "right"

// tooLarge words a difference in size.
func tooLarge(l si.Length) string {
	switch mm := 1e3 * float64(l); {
	case mm > 0.005:
		return fmt.Sprintf("%.2f mm too large", mm)
	case mm < -0.005:
		return fmt.Sprintf("%.2f mm too small", -mm)
	}
	return right
}

// judgeTight finds where the drawn face has a radius smaller than the wall, so
// that the moved face has a sharp edge there.
func (r *Result) judgeTight(b *shape, whole skin.Made) {
	t := math.Abs(b.moved.out)
	if t == 0 || len(whole.Creases) == 0 {
		return
	}
	top, err := mesh.NewTopology(whole.Mesh)
	if err != nil {
		return // told already
	}
	least, at := math.Inf(1), r3.Vec{}
	for _, c := range whole.Creases {
		e := top.EdgeBetween(int(c[0]), int(c[1]))
		if faces := top.EdgeFaces(e); len(faces) == 2 {
			p := r3.Scale(0.5, r3.Add(whole.Mesh.Vertices[c[0]], whole.Mesh.Vertices[c[1]]))
			if radius := b.drawnRadius(p, whole.Mesh.FaceNormal(int(faces[0])), whole.Mesh.FaceNormal(int(faces[1]))); radius < least {
				least, at = radius, p
			}
		}
	}
	if !(least < t) {
		return
	}
	r.findAgainst(fault.Finding{Severity: fault.Caution, Code: "radius-under-wall",
		What: fmt.Sprintf("The drawn edge near %s has a radius of %.1f mm, less than the wall of %.2f mm: the mould's edge there comes out sharp.", placeText(at), 1e3*least, 1e3*t),
		Why:  "an edge loses the wall's thickness from its radius on the way to the mould",
		Do:   fmt.Sprintf("Round the drawn edge or its fillet to %.0f mm or more.", math.Ceil(1e3*t)+3)}, 1e3*least, 1e3*t, "mm")
}

// drawnRadius returns the radius of the drawn edge over a place p on a sharp edge
// of the moved face, whose sides have the normals n and m:
//
//	e = (t/c − D)/(1/c − 1),  c = n·u
//
// u halves the angle between the normals, D is the way along it from p to the
// drawn face: t/c to a sharp edge, and (1/c − 1) e less to one of radius e.
func (b *shape) drawnRadius(p, n, m r3.Vec) float64 {
	u := r3.Add(n, m)
	if r3.Norm(u) < 1e-6 {
		return 0
	}
	u = r3.Unit(u)
	c, t := r3.Dot(n, u), math.Abs(b.moved.out)
	if c > flatEdge {
		return math.Inf(1)
	}
	way := r3.Scale(-math.Copysign(1, b.moved.out), u)
	gone := 0.0
	for range 60 {
		d, _ := b.drawn.At(r3.Scale(1/b.moved.scale, r3.Add(p, r3.Scale(gone, way))))
		if math.Abs(d) < 1e-7 {
			break
		}
		gone += math.Abs(d)
	}
	return max(0, (t/c-gone)/(1/c-1))
}

// flatEdge is the cosine above which an edge is too flat to tell a radius: a turn
// of 16 deg.
const flatEdge = 0.99

// CarvedFor returns the laminated surface moved from the face so that the
// finished side comes out where it is drawn, with stack heights by vertex that
// differ from the nominal wall: deeper where cloth lies double. For those who carve by machine.
func (r Result) CarvedFor(height []float64) (offset.Face, error) {
	down := make([]float64, len(height))
	for v, h := range height {
		down[v] = float64(r.Fit.Wall) - h
	}
	return offset.Sheet(r.Surface, down)
}
