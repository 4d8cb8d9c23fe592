package drape

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
)

// Net is a kinematic net: yarns of fixed length, step apart, that turn at the
// crossings without slipping. Its generators are straightest lines through the
// seed; all else follows from them, cell by cell. Where they end at a hole or in
// a bay of the rim, the net goes on from other straightest lines ([Node.Free]).
type Net struct {
	Step      float64 // m
	Nodes     []Node  // in the order in which the wave found them
	Collapsed int     // places where no cell could close since its yarns had come together
	Seams     int     // pairs of neighbours that no yarn of one step joins: the net has met itself behind a hole

	rounded bool // it is that of a smooth surface, see [rounding]
	bow     [][2]bow

	s      *surface
	tracer *mesh.Tracer
	home   mesh.Point // of the seed, on the part itself: the first node may lie in the strip along its rim
	at     grid
	limit  int
	ends   looseEnds
	lines  [4]mesh.Line // generators in the order of around
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

	// Free tells that the generators do not reach round to here: the place
	// follows from a line that goes straight on beside a hole or a bay of the
	// rim, and is one of many that the yarns allow.
	Free bool

	toward [4]r3.Vec // unit vectors to +u, +v, −u, −v; zero where there is no yarn
	wedged bool      // a yarn to it bends at a vertex
	summed bool      // the shear is the curvature between it and the generators
	edged  bool      // an edge of the mould lies between it and a neighbour
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

// usualFactor is what most sheets need of it.
const usualFactor = 1.1

// newNet lays the generators from the seed along the warp and across it, and
// lets the wave of cells run.
func newNet(s *surface, seed mesh.Point, warp r3.Vec, step float64) (*Net, error) {
	s, err := s.overHoles()
	if err != nil {
		return nil, err
	}
	return newNetOn(s, mesh.NewTracer(s.topology, rounding(s.topology, len(s.Triangles), len(s.Triangles))), seed, warp, step)
}

// newNetOn lays the net on a surface whose holes are filled, with its tracer.
func newNetOn(s *surface, tracer *mesh.Tracer, seed mesh.Point, warp r3.Vec, step float64) (*Net, error) {
	n := &Net{Step: step, s: s, tracer: tracer,
		limit: 1000 + int(spreadFactor*s.whole/(step*step))}
	rays, err := s.fourRays(seed, warp)
	if err != nil {
		return nil, err
	}
	n.Nodes = make([]Node, 0, min(n.limit, 1000+int(usualFactor*s.whole/(step*step))))
	n.add(Node{Point: rays[0].Point, At: s.At(rays[0].Point)})
	longest := longestLine(s)
	for k, r := range rays {
		if n.lines[k], err = tracer.Line(r.Point, r.dir, longest); err != nil {
			return nil, err
		}
	}
	n.Nodes[0].toward = n.cross(rays[0])
	n.addGenerators()
	for i := 0; i < len(n.Nodes) && len(n.Nodes) < n.limit; i++ {
		n.spread(int32(i))
		for i+1 == len(n.Nodes) && n.goOn() { // until one of them adds nodes
		}
	}
	n.join()
	for i := range n.Nodes {
		n.measure(&n.Nodes[i])
	}
	if n.rounded = tracer.Rounding() != nil; n.rounded {
		n.addUp()
		n.bows(tracer.Rounding())
	}
	n.tracer, n.ends = nil, looseEnds{} // of no use any more, and large
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
func longestLine(s *surface) float64 {
	if s.long == 0 {
		return 4 * s.Diagonal()
	}
	return s.long
}

func (n *Net) add(node Node) int32 {
	i := int32(len(n.Nodes))
	n.Nodes = append(n.Nodes, node)
	n.at.set([2]int32{node.I, node.J}, i)
	n.look(i)
	return i
}

// addGenerators sets the nodes on the generators, nearest to the seed first.
func (n *Net) addGenerators() {
	var stations [4][]mesh.Station
	most := 0
	for k, line := range n.lines {
		stations[k] = line.Every(n.s.Mesh, n.Step)
		most = max(most, len(stations[k]))
	}
	last := [4]int32{}
	for i := 1; i < most; i++ {
		for k, list := range stations {
			if i < len(list) {
				last[k] = n.addStation(last[k], k, list[i-1], list[i])
			}
		}
	}
	for k, line := range n.lines {
		if line.AtRim {
			n.leave(step(n.Nodes[last[k]].I, n.Nodes[last[k]].J, k))
		}
	}
}

// addStation adds the node a step further along direction k, from one station
// of a straightest line to the next.
func (n *Net) addStation(from int32, k int, before, at mesh.Station) int32 {
	p := &n.Nodes[from]
	if from > 0 {
		p.toward[k] = before.Dir
	}
	node := Node{I: p.I + around[k][0], J: p.J + around[k][1], Point: at.Point, At: at.At, Free: p.Free}
	node.toward[(k+2)%4] = r3.Scale(-1, at.Dir)
	return n.add(node)
}

// measure averages the shear over the cells at a node, and sees whether it is edged.
func (n *Net) measure(p *Node) {
	var room [4]float64
	for _, lack := range n.lacks(p, room[:0]) {
		p.Shear += lack
		p.Cells++
	}
	p.Shear /= float64(max(1, p.Cells))
	for k := range around {
		if q := n.at.get(step(p.I, p.J, k)); q >= 0 && r3.Dot(n.s.normal[p.Face], n.s.normal[n.Nodes[q].Face]) < math.Cos(crease) {
			p.edged = true
		}
	}
}

// lacks returns what the angle between the yarns lacks to 90° in each cell at a node.
func (n *Net) lacks(p *Node, to []float64) []float64 {
	for k := range around {
		l := (k + 1) % 4
		if p.toward[k] == (r3.Vec{}) || p.toward[l] == (r3.Vec{}) {
			continue
		}
		lack := math.Pi/2 - n.angle(p, k, l)
		if k%2 == 1 {
			lack = -lack
		}
		to = append(to, lack)
	}
	return to
}

// Node returns the crossing i warp and j weft steps from the seed.
func (n *Net) Node(i, j int) (Node, bool) {
	k := n.at.get([2]int32{int32(i), int32(j)})
	if k < 0 {
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

// crease is the bend of a side, rad, from which on it is an edge of the mould, and
// not a smooth surface in coarse triangles.
const crease = 30 * math.Pi / 180

// rounding returns how the triangles of a mesh are rounded; nil where an edge runs between two of the
// first so many. There normals tell nothing, and the triangles are the surface;
// from part on they are a strip beyond the rim.
func rounding(t *mesh.Topology, given, part int) *mesh.Rounding {
	up := t.Mesh.FaceNormals()
	for h, g := range t.Twin[:3*given] {
		if g >= 0 && int(g) < 3*given && r3.Dot(up[h/3], up[g/3]) < math.Cos(crease) {
			return nil
		}
	}
	return t.Rounded(crease, part)
}

// addUp puts the curvature of the cells that lie between the generators and a node
// in the place of what its own yarns show. These are straight between nodes and
// stand for yarns that bend, so that where curvature comes and goes within a few
// cells they show the mean over those. The angles of a cell add up to 360° and its
// curvature, and that is by what the shear at its corners differs:
//
//	γ(i+1, j+1) − γ(i+1, j) − γ(i, j+1) + γ(i, j) = ∫ K dA
//
// Where that is none of what the cells at the node show, by [mostApart], cells between
// lie over the tip of a cut or otherwise off the mould; there, and behind it,
// the node's own yarns are believed.
//
// Source: [hazzidakis1880].
func (n *Net) addUp() {
	var room [4]float64
	for i := range n.Nodes {
		p := &n.Nodes[i]
		if p.Free || p.Cells == 0 {
			continue
		}
		if p.I == 0 || p.J == 0 {
			p.Shear, p.summed = 0, true
			continue
		}
		γ, ok := n.sum(p, int32(i))
		if own := n.lacks(p, room[:0]); ok && γ > slices.Min(own)-mostApart && γ < slices.Max(own)+mostApart {
			p.Shear, p.summed = γ, true
		}
	}
}

// mostApart is how far, rad, the curvature added up may lie from what a node's yarns
// show: more says that these are laid where the curvature is not, beside a coarse rim.
const mostApart = 1 * math.Pi / 180

// sum returns the shear at node i from that of the three nodes before it.
func (n *Net) sum(p *Node, i int32) (γ float64, ok bool) {
	back := [2]int32{p.I - sign(p.I), p.J - sign(p.J)}
	a, b, c := n.at.get(back), n.at.get([2]int32{p.I, back[1]}), n.at.get([2]int32{back[0], p.J})
	if min(a, b, c) < 0 || max(a, b, c) >= i {
		return 0, false
	}
	K, ok := n.curvatureOf([2]int32{min(p.I, back[0]), min(p.J, back[1])})
	A, B, C := &n.Nodes[a], &n.Nodes[b], &n.Nodes[c]
	return B.Shear + C.Shear - A.Shear + K*float64(sign(p.I)*sign(p.J)), ok && A.summed && B.summed && C.summed
}

// curvatureOf returns the curvature of the cell whose corner with the least I and
// J is given; false if it has not all its corners and yarns.
func (n *Net) curvatureOf(c [2]int32) (float64, bool) {
	sum := -2 * math.Pi
	for k := range around {
		i := n.at.get(c)
		if i < 0 {
			return 0, false
		}
		p, l := &n.Nodes[i], (k+1)%4
		if p.toward[k] == (r3.Vec{}) || p.toward[l] == (r3.Vec{}) {
			return 0, false
		}
		sum += n.angle(p, k, l)
		c = step(c[0], c[1], k)
	}
	return sum, true
}

func sign(i int32) int32 {
	if i < 0 {
		return -1
	}
	return 1
}
