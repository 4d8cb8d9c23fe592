package nest

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/geom"
)

// lane is one length of goods that pieces are laid on: a roll, the rest of one, or
// the box round a remnant.
type lane struct {
	name, lot string
	width     float64
	edge      float64        // kept free along both sides
	length    float64        // +Inf: as much as is needed
	table     float64        // distance of the lines that nothing may lie across; 0: none
	sections  int            // how many such lines there are
	shut      []geom.Polygon // what no grown piece may touch, on the lane
	defects   []geom.Polygon // as they were given
	outline   geom.Polygon   // of a remnant; nil: the whole lane
}

// lanes lists what pieces may be laid on, in the order in which it is used up:
// remnants from the smallest, rolls as they come, then as much of the roll as it takes.
func (r Roll) lanes() (out []lane, err error) {
	stock := slices.Clone(r.Stock)
	slices.SortStableFunc(stock, func(a, b Stock) int { return cmp.Compare(a.rank(), b.rank()) })
	for _, s := range stock {
		l := lane{name: s.Name, lot: s.Lot, width: float64(s.Width), length: float64(s.Length), outline: polygon(s.Outline)}
		if s.Outline == nil {
			l.edge, l.table = float64(r.Edge), float64(r.Table)
		}
		if l.edge >= l.width/2 {
			continue
		}
		if err := l.close(polygons(s.Defects), float64(r.Gap)); err != nil {
			return nil, fmt.Errorf("stock %s: %w", s.Name, err)
		}
		out = append(out, l)
	}
	l := lane{width: float64(r.Width), edge: float64(r.Edge), length: math.Inf(1), table: float64(r.Table)}
	if err := l.close(r.Defects, float64(r.Gap)); err != nil {
		return nil, fmt.Errorf("defects: %w", err)
	}
	return append(out, l), nil
}

// rank sorts remnants by area and puts rolls behind them.
func (s Stock) rank() float64 {
	if s.Outline == nil {
		return math.Inf(1)
	}
	return math.Abs(polygon(s.Outline).Area())
}

// close shuts defects with the gap round them, and what a remnant's box has beside it.
func (l *lane) close(defects []geom.Polygon, gap float64) error {
	long := l.length
	for _, d := range defects { // an endless lane is bounded by its defects here
		if math.IsInf(l.length, 1) {
			long = max(0, d.Bounds().Max.X)
		}
		on, err := geom.Intersect([]geom.Region{d.Region()}, []geom.Region{geom.Rect(0, 0, long+gap, l.width).Region()})
		if err != nil {
			return err
		}
		for _, part := range on {
			grown, err := geom.Offset(part.Outer, gap/2)
			if err != nil {
				return err
			}
			for _, g := range grown {
				l.shut = append(l.shut, geom.SimplifyOutward(g, gap/20))
			}
			l.defects = append(l.defects, part.Outer)
		}
	}
	if l.outline == nil {
		return nil
	}
	beside, err := outside(l.outline, geom.Rect(0, 0, l.length, l.width))
	l.shut = append(l.shut, beside...)
	return err
}

// hair is half the width of a section line in metres: nothing, to a blade.
const hair = 1e-6

// section is the longest that a piece may be.
func (l lane) section() float64 {
	if l.table > 0 {
		return min(l.length, l.table-2*hair)
	}
	return l.length
}

// newStrip prepares the laying of copies of those kinds on the lane. Lengths are
// those of the outlines grown by half the gap: the strip starts half a gap before
// the lane and ends half a gap short of the edge margin.
func (l lane) newStrip(k *kit, kinds []int) *strip {
	s := &strip{height: l.width - 2*l.edge + k.gap + slip, free: len(kinds), alike: map[int][]int32{}}
	longest := 0.0
	for i, kind := range kinds {
		s.alike[kind] = append(s.alike[kind], int32(i))
		ways := k.ways(kind, s.height, l.section()+k.gap+slip)
		shortest := math.Inf(1)
		for _, p := range ways {
			shortest = min(shortest, k.poses[p].fit.Size().X)
		}
		longest = max(longest, shortest)
		s.ways = append(s.ways, ways)
	}
	s.bound = max(longest, k.area(kinds)/s.height)
	s.block(k, l)
	return s
}

// block puts in what may not be lain on.
func (s *strip) block(k *kit, l lane) {
	var bodies []*pose
	shift := r2.Vec{X: k.gap / 2, Y: k.gap/2 - l.edge}
	add := func(body *pose, at r2.Vec) {
		p := int32(len(k.poses) + len(bodies))
		s.blocks = append(s.blocks, spot{p, at.X, at.Y})
		s.ways = append(s.ways, []int32{p})
	}
	for _, ring := range l.shut {
		body := newPose(-1, ring, ring, poles(ring), 0, false, 0)
		add(body, r2.Sub(shift, body.origin))
		bodies = append(bodies, body)
	}
	if l.table > 0 {
		body := wall(s.height)
		for i := 1; i <= l.sections; i++ {
			add(body, r2.Vec{X: float64(i)*l.table + shift.X, Y: s.height / 2})
		}
		bodies = append(bodies, body)
	}
	s.kit = k.with(bodies)
}

// wallDiscs is how many discs stand for a section line in the overlap measure.
const wallDiscs = 24

// wall is a line across the goods. For the measure of overlap it is as thick as its
// discs: a line itself would not push.
func wall(height float64) *pose {
	line := geom.Rect(-hair, 0, hair, height)
	r := height / (2 * wallDiscs)
	var discs []disc
	for i := range wallDiscs {
		discs = append(discs, disc{r2.Vec{Y: (2*float64(i) + 1) * r}, r})
	}
	p := newPose(-1, line, line, discs, 0, false, 0)
	p.weight = math.Sqrt(2 * r * height)
	return p
}

// wallBefore is the far end of the last block that reaches across the strip before
// the given length. What lies beyond it can move up; what lies before can't.
func (s *strip) wallBefore(length float64) (end float64) {
	for _, b := range s.blocks {
		p := s.poses[b.pose]
		if b.y-p.hy <= 0 && b.y+p.hy >= s.height-slip && b.x+p.hx < length {
			end = max(end, b.x+p.hx)
		}
	}
	return end
}

// outside is what the lane's box holds beside a remnant, as rings without holes.
func outside(remnant geom.Polygon, box geom.Polygon) ([]geom.Polygon, error) {
	parts, err := geom.Difference([]geom.Region{box.Region()}, []geom.Region{remnant.Region()})
	if err != nil {
		return nil, err
	}
	var out []geom.Polygon
	for _, p := range parts {
		out = append(out, p.Outer)
	}
	return out, nil
}
