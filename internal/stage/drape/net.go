package drape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
)

// Net is a kinematic net: yarns of fixed length, step apart, that turn at the
// crossings without slipping. Its generators are straightest lines through the
// seed; all else follows from them, cell by cell.
type Net struct {
	Step      float64 // m
	Nodes     []Node  // in the order in which the wave found them
	Collapsed int     // cells that could not close since their yarns had come together

	s     *surface
	at    map[[2]int32]int32
	limit int
	lines [4]mesh.Line // generators in the order of around
}

// Node is a crossing.
type Node struct {
	I, J int32 // warp and weft steps from the seed
	mesh.Point
	At r3.Vec

	// Shear is the mean over the cells round the node of what the angle between
	// the yarns lacks to 90°, rad; Cells is how many there are. With all four it
	// is right to the second order in the step, else to the first.
	Shear float64
	Cells int

	toward [4]r3.Vec // unit vectors to +u, +v, −u, −v; zero where there is no yarn
}

// steps to the neighbours in the order of Node.toward.
var around = [4][2]int32{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}

// collapse is the sine of the angle between yarns below which a cell no longer
// closes: 86° of shear.
var collapse = math.Sin(4 * math.Pi / 180)

// spreadFactor bounds the number of nodes against the surface's area in cells:
// shear alone packs 1/cos γ more, and a sheet that winds round a tube without
// end is stopped here.
const spreadFactor = 4

// newNet lays the generators from the seed along the warp and across it, and
// lets the wave of cells run.
func newNet(s *surface, seed mesh.Point, warp r3.Vec, step float64) (*Net, error) {
	n := &Net{Step: step, s: s, at: map[[2]int32]int32{},
		limit: 1000 + int(spreadFactor*s.whole/(step*step))}
	rays, err := s.fourRays(seed, warp)
	if err != nil {
		return nil, err
	}
	n.add(Node{Point: rays[0].Point, At: s.At(rays[0].Point)})
	var lines [4]mesh.Line
	for k, r := range rays {
		if lines[k], err = s.topology.Trace(r.Point, r.dir, longestLine(s)); err != nil {
			return nil, err
		}
	}
	n.Nodes[0].toward = n.cross(rays[0])
	n.lines = lines
	n.addGenerators(lines)
	for i := 0; i < len(n.Nodes) && len(n.Nodes) < n.limit; i++ {
		n.spread(int32(i))
	}
	for i := range n.Nodes {
		n.measure(&n.Nodes[i])
	}
	return n, nil
}

// cross returns the directions of the four generators as if the seed's triangle
// went on flat round it: at a vertex they are drawn together or apart to fill
// the whole angle, which is what the shear there is counted from.
func (n *Net) cross(first ray) [4]r3.Vec {
	left := r3.Cross(n.s.normal[first.Face], first.dir)
	return [4]r3.Vec{first.dir, left, r3.Scale(-1, first.dir), r3.Scale(-1, left)}
}

// longestLine bounds a generator on a surface without a rim in its way.
func longestLine(s *surface) float64 { return 4 * s.Diagonal() }

func (n *Net) add(node Node) int32 {
	i := int32(len(n.Nodes))
	n.Nodes = append(n.Nodes, node)
	n.at[[2]int32{node.I, node.J}] = i
	return i
}

// addGenerators sets the nodes on the generators, nearest to the seed first.
func (n *Net) addGenerators(lines [4]mesh.Line) {
	var stations [4][]mesh.Station
	most := 0
	for k, line := range lines {
		stations[k] = line.Every(n.s.Mesh, n.Step)
		most = max(most, len(stations[k]))
	}
	for i := 1; i < most; i++ {
		for k, list := range stations {
			if i >= len(list) || list[i].Arc < (float64(i)-0.001)*n.Step {
				continue
			}
			at := list[i]
			node := Node{I: around[k][0] * int32(i), J: around[k][1] * int32(i), Point: at.Point, At: at.At}
			node.toward[(k+2)%4] = r3.Scale(-1, at.Dir)
			before := n.at[[2]int32{node.I - around[k][0], node.J - around[k][1]}]
			if i > 1 {
				n.Nodes[before].toward[k] = list[i-1].Dir
			}
			n.add(node)
		}
	}
}

// spread closes the cells at a node that lack just one corner.
func (n *Net) spread(i int32) {
	at := n.Nodes[i]
	for k := range around {
		p := step(at.I, at.J, k)
		q := step(at.I, at.J, (k+1)%4)
		r := [2]int32{p[0] + q[0] - at.I, p[1] + q[1] - at.J}
		_, hasP := n.at[p]
		_, hasQ := n.at[q]
		_, hasR := n.at[r]
		switch {
		case hasP && hasQ && !hasR: // opposite to the node
			n.close([2]int32{at.I, at.J}, k)
		case hasP && !hasQ && hasR: // beside it: the corner is at p
			n.close(p, (k+1)%4)
		case !hasP && hasQ && hasR:
			n.close(q, (k+3)%4)
		}
	}
}

func step(i, j int32, k int) [2]int32 { return [2]int32{i + around[k][0], j + around[k][1]} }

// closing tolerances: the gap that is left, against the step, and how often it
// is mended.
const (
	closed     = 1e-8
	mostMends  = 12
	widestMend = 0.5 // rad at once
)

// close finds the fourth corner of the cell that lies between directions k and
// k+1 of corner c: the yarns from the two neighbours of c, one step long each,
// end in the same place. It is found by turning both until the gap is closed.
func (n *Net) close(c [2]int32, k int) {
	l := (k + 1) % 4
	a, b := n.at[step(c[0], c[1], k)], n.at[step(c[0], c[1], l)]
	A, B, C := &n.Nodes[a], &n.Nodes[b], &n.Nodes[n.at[c]]
	back, side := (k+2)%4, (l+2)%4
	if C.toward[k] == (r3.Vec{}) || C.toward[l] == (r3.Vec{}) || A.toward[back] == (r3.Vec{}) || B.toward[side] == (r3.Vec{}) {
		return
	}
	ω := n.angle(C, k, l)
	dirA := n.turned(A, r3.Scale(-1, A.toward[back]), ω)
	dirB := n.turned(B, r3.Scale(-1, B.toward[side]), -ω)
	for range mostMends {
		lineA, errA := n.s.topology.Trace(A.Point, dirA, n.Step)
		lineB, errB := n.s.topology.Trace(B.Point, dirB, n.Step)
		if errA != nil || errB != nil || lineA.AtRim || lineB.AtRim {
			return
		}
		endA, endB := lineA.End(n.s.Mesh), lineB.End(n.s.Mesh)
		tA := r3.Cross(n.s.normal[endA.Face], endA.Dir)
		tB := r3.Cross(n.s.normal[endB.Face], endB.Dir)
		gap := r3.Sub(endB.At, endA.At)
		if r3.Norm(gap) < closed*n.Step {
			dirA, dirB = lineA.Pieces[0].Dir, lineB.Pieces[0].Dir
			p := Node{I: c[0] + around[k][0] + around[l][0], J: c[1] + around[k][1] + around[l][1],
				Point: endA.Point, At: endA.At}
			p.toward[side], p.toward[back] = r3.Scale(-1, endA.Dir), r3.Scale(-1, endB.Dir)
			if math.Sin(n.angle(&p, back, side)) < collapse {
				n.Collapsed++
				return
			}
			A.toward[l], B.toward[k] = dirA, dirB
			n.add(p)
			return
		}
		δA, δB, ok := mend(tA, tB, gap, n.Step)
		if !ok {
			n.Collapsed++
			return
		}
		dirA, dirB = n.turned(A, dirA, δA), n.turned(B, dirB, δB)
	}
}

// mend solves s·(tA·δA − tB·δB) = gap in the sense of least squares.
func mend(tA, tB, gap r3.Vec, s float64) (δA, δB float64, ok bool) {
	c := r3.Dot(tA, tB)
	det := 1 - c*c
	if det < collapse*collapse/4 {
		return 0, 0, false
	}
	x, y := r3.Dot(tA, gap)/s, -r3.Dot(tB, gap)/s
	δA, δB = (x+c*y)/det, (y+c*x)/det
	hold := max(1, math.Abs(δA)/widestMend, math.Abs(δB)/widestMend)
	return δA / hold, δB / hold, true
}

// angle returns the angle from direction k of a node to direction l, seen from
// outside, −π to π.
func (n *Net) angle(p *Node, k, l int) float64 {
	normal := n.s.normal[p.Face]
	return math.Atan2(r3.Dot(normal, r3.Cross(p.toward[k], p.toward[l])), r3.Dot(p.toward[k], p.toward[l]))
}

// turned returns a direction at a node, laid into its triangle and turned by
// the angle to the left.
func (n *Net) turned(p *Node, dir r3.Vec, angle float64) r3.Vec {
	normal := n.s.normal[p.Face]
	dir = r3.Sub(dir, r3.Scale(r3.Dot(dir, normal), normal))
	sin, cos := math.Sincos(angle)
	return r3.Add(r3.Scale(cos, dir), r3.Scale(sin, r3.Cross(normal, dir)))
}

// measure averages the shear over the cells at a node.
func (n *Net) measure(p *Node) {
	var sum float64
	for k := range around {
		l := (k + 1) % 4
		if p.toward[k] == (r3.Vec{}) || p.toward[l] == (r3.Vec{}) {
			continue
		}
		lack := math.Pi/2 - n.angle(p, k, l)
		if k%2 == 1 {
			lack = -lack
		}
		sum += lack
		p.Cells++
	}
	if p.Cells > 0 {
		p.Shear = sum / float64(p.Cells)
	}
}

// Node returns the crossing i warp and j weft steps from the seed.
func (n *Net) Node(i, j int) (Node, bool) {
	k, ok := n.at[[2]int32{int32(i), int32(j)}]
	if !ok {
		return Node{}, false
	}
	return n.Nodes[k], true
}

// Kinematic lays only the net, with the given step, m.
func Kinematic(in Input, step float64) (*Net, error) {
	if err := check(in); err != nil {
		return nil, err
	}
	if !(step > 0) || math.IsInf(step, 0) {
		return nil, &fault.Range{Field: "step of the net", Value: step, Max: math.Inf(1), Unit: " m", Why: "a yarn has a length between its crossings"}
	}
	return newNet(newSurface(in.Surface), in.Seed, in.Warp, step)
}

// Burden returns the root mean square of shear over the surface, rad. What the
// net does not reach, beyond the ragged edge that every net has, counts as
// collapsed.
func (n *Net) Burden() float64 {
	const ragged = 0.2 // share of the surface
	var area, sum float64
	for i := range n.Nodes {
		if p := &n.Nodes[i]; p.Cells == 4 {
			a := n.Step * n.Step * math.Cos(p.Shear)
			area += a
			sum += a * p.Shear * p.Shear
		}
	}
	if area == 0 {
		return math.Pi / 2
	}
	left := max(0, 1-ragged-area/n.s.whole)
	return math.Sqrt((1-left)*sum/area + left*math.Pi*math.Pi/4)
}
