package release

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// Opening is a rim of the part that a plug can be reached through.
type Opening struct {
	At    [3]float64 `json:"at_m"`    // its middle
	Width si.Length  `json:"width_m"` // across where it is narrowest
}

// openings returns the rims of the part, widest first. The width of a rim is its
// least extent across its middle plane, over directions 3 deg apart.
func openings(t *mesh.Topology) (out []Opening) {
	for _, loop := range t.RimLoops() {
		var rim []r3.Vec
		var middle, across r3.Vec
		for _, v := range t.LoopVertices(loop) {
			rim = append(rim, t.Mesh.Vertices[v])
		}
		for i, p := range rim {
			middle = r3.Add(middle, r3.Scale(1/float64(len(rim)), p))
			across = r3.Add(across, r3.Cross(r3.Sub(p, rim[0]), r3.Sub(rim[(i+1)%len(rim)], rim[0])))
		}
		if r3.Norm(across) == 0 {
			continue
		}
		width := math.Inf(1)
		for _, u := range around(r3.Unit(across), 120) {
			low, high := math.Inf(1), math.Inf(-1)
			for _, p := range rim {
				x := r3.Dot(p, u)
				low, high = min(low, x), max(high, x)
			}
			width = min(width, high-low)
		}
		out = append(out, Opening{array(middle), si.Length(width)})
	}
	slices.SortStableFunc(out, func(a, b Opening) int { return cmp.Compare(b.Width, a.Width) })
	return out
}

// Lost is how a plug of some material leaves a part that it can't be drawn from.
type Lost string

// How lost plugs go. A plug that stays whole has none.
const (
	Keep     Lost = ""
	Dissolve Lost = "dissolve"
	Dig      Lost = "dig"
	Break    Lost = "break"
	Melt     Lost = "melt"
)

// narrowest is the least opening that a plug can be lost through. Common practice,
// no source: a hand with a scraper or a chisel needs 50 mm; a solvent or molten wax
// only has to run in and out.
func (l Lost) narrowest() si.Length {
	if l == Dissolve || l == Melt {
		return 15e-3
	}
	return 50e-3
}

// LostPlug says whether the plug can be lost, and through what.
type LostPlug struct {
	How    Lost      `json:"how"`
	Can    bool      `json:"can"`
	Needs  si.Length `json:"needs_m"`  // the least opening
	Widest si.Length `json:"widest_m"` // of the part; 0: it is closed all round
}

// Core says whether a plug in staves round a core that is drawn first would come
// out: the staves go inwards by the depth of the hook, on either side, into the
// room that the core leaves, and the core goes through the opening:
//
//	2·h ≤ core ≤ 0.8·opening
//
// plane geometry, with a fifth of the opening left to the staves.
type Core struct {
	Can   bool      `json:"can"`
	Width si.Length `json:"width_m"` // of the core, at least
	Most  si.Length `json:"most_m"`  // that the opening lets through
}

func lostThrough(how Lost, open []Opening) *LostPlug {
	if how == Keep {
		return nil
	}
	l := LostPlug{How: how, Needs: how.narrowest()}
	if len(open) > 0 {
		l.Widest = open[0].Width
	}
	l.Can = l.Widest >= l.Needs
	return &l
}

// core returns nil where an undercut is shut in all round, or none has a depth.
func core(areas []Area, open []Opening) *Core {
	if len(open) == 0 {
		return nil
	}
	c := Core{Most: 0.8 * open[0].Width}
	for _, a := range areas {
		if a.Kind != Undercut {
			continue
		}
		if a.Hook == nil {
			return nil
		}
		c.Width = max(c.Width, 2**a.Hook)
	}
	c.Can = c.Width > 0 && c.Width <= c.Most
	return &c
}
