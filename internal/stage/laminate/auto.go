package laminate

import (
	"fmt"
	"slices"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// autoFabric and autoPlies are what an open stack is made of where nothing else is said:
// the commonest carbon cloth, and where no load is there to choose by, enough of it to
// handle. Common practice, no source.
const (
	autoFabric = "carbon-plain-193"
	autoPlies  = 4
)

// usualMost is how many plies of cloth a search goes up to where the job does not say.
const usualMost = 8

// mostAlike is how many plies of one angle may lie on each other: more crack between
// them. Common practice, no source.
const mostAlike = 4

// Choice is what an open stack may be made of.
type Choice struct {
	Fabrics   []string  `yaml:"fabrics"`                  // of the shop; none: carbon-plain-193
	Core      string    `yaml:"core"`                     // between two halves; none: solid
	CoreThick si.Length `yaml:"core_thickness"`           // of the core
	Isolation string    `yaml:"isolation"`                // cloth against metal, at the mould face
	Most      int       `yaml:"most" least:"0" most:"16"` // plies, without the isolation; 0: 8
	Lopsided  bool      `yaml:"lopsided"`                 // stacks need not be the same from both faces
	SameAngle bool      `yaml:"same_angle"`               // more than four plies of one angle may lie on each other
}

// Lines returns the stack as written, and for `auto` the stack to start with.
func (s Spec) Lines() []Line {
	if s.Stack.Given {
		return s.Stack.Value
	}
	fabric := autoFabric
	if len(s.Choice.Fabrics) > 0 {
		fabric = s.Choice.Fabrics[0]
	}
	return s.Choice.dress(alternate(fabric, autoPlies))
}

// Candidates lists the stacks that an open stack may become: of each fabric 1 ply to the
// most, with every pattern of 0 and 45 degrees that reads the same from both faces. With
// balanced cloth each is balanced, as either angle carries its like at a right angle.
// With a core each half gets the plies, mirrored.
func (c Choice) Candidates() [][]Line {
	fabrics, most := c.Fabrics, c.Most
	if len(fabrics) == 0 {
		fabrics = []string{autoFabric}
	}
	if most == 0 {
		most = usualMost
	}
	var out [][]Line
	for _, f := range fabrics {
		for n := 1; n <= most; n++ {
			for _, angles := range c.patterns(n) {
				var stack []Line
				for _, a := range angles {
					stack = append(stack, Line{Fabric: f, Angle: si.Degrees(a)})
				}
				out = append(out, c.dress(stack))
			}
		}
	}
	return out
}

// patterns are the angles of n plies, first the one that alternates from the face.
func (c Choice) patterns(n int) (out [][]float64) {
	free := n
	if !c.Lopsided {
		free = (n + 1) / 2
	}
	for bits := range 1 << free {
		angles := make([]float64, n)
		for i := range angles {
			at := i
			if !c.Lopsided {
				at = min(i, n-1-i)
			}
			if bits>>at&1 == 1 {
				angles[i] = 45
			}
		}
		if c.SameAngle || longestRun(angles) <= mostAlike {
			out = append(out, angles)
		}
	}
	return out
}

func longestRun(angles []float64) (longest int) {
	run := 0
	for i, a := range angles {
		if i > 0 && a != angles[i-1] {
			run = 0
		}
		run++
		longest = max(longest, run)
	}
	return longest
}

// alternate is n plies of 0 and 45 in turn from either face.
func alternate(fabric string, n int) (out []Line) {
	for i := range n {
		out = append(out, Line{Fabric: fabric, Angle: si.Degrees(45 * float64(min(i, n-1-i)%2))})
	}
	return out
}

// dress puts the core in the middle, with one ply on both its faces, and the isolation
// at the mould face.
func (c Choice) dress(stack []Line) []Line {
	if c.Core != "" {
		if len(stack) == 1 {
			stack = append(stack, stack[0])
		}
		thick := c.CoreThick
		stack = slices.Insert(slices.Clone(stack), (len(stack)+1)/2, Line{Core: c.Core, Thickness: &thick})
	}
	if c.Isolation != "" {
		stack = append([]Line{{Fabric: c.Isolation}}, stack...)
	}
	return stack
}

// Plies counts the plies of cloth of a stack without the isolation.
func (c Choice) Plies(stack []Line) (n int) {
	for _, l := range stack {
		if l.Core == "" {
			n++
		}
	}
	if c.Isolation != "" {
		n--
	}
	return n
}

// Short writes a stack as a shop does: "carbon-plain-193 0/45/45/0".
func Short(stack []Line) string {
	out, last := "", ""
	for _, l := range stack {
		if l.Core != "" {
			out, last = out+" + "+l.Core, ""
			continue
		}
		name := l.Fabric
		if l.Ply != "" {
			name = l.Ply
		}
		deg := fmt.Sprintf("%.4g", l.Angle.Degrees()+0)
		switch {
		case name == last:
			out += "/" + deg
		case out == "":
			out = name + " " + deg
		default:
			out += " + " + name + " " + deg
		}
		last = name
	}
	return out
}

// Check refuses a choice that leaves nothing to choose.
func (c Choice) Check(given bool) error {
	if (c.Core == "") != (c.CoreThick == 0) {
		return &fault.Input{Field: "laminate.choose", What: "a core needs its name and its thickness", Do: `write core: pvc-foam-80, core_thickness: "5 mm"`}
	}
	any := len(c.Fabrics) > 0 || c.Core != "" || c.Isolation != "" || c.Most > 0 || c.Lopsided || c.SameAngle
	if given && any {
		return &fault.Input{Field: "laminate.choose", What: "the stack is written, so there is nothing to choose", Do: "write stack: auto, or take choose out"}
	}
	return nil
}
