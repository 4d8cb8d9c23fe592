package laminate

import "laywright/internal/base/si"

// autoFabric and autoPlies are what an open stack starts with: four plies of
// the commonest carbon cloth, enough to handle. Common practice, no source.
const (
	autoFabric = "carbon-plain-193"
	autoPlies  = 4
)

// Lines returns the stack as written, and for `auto` the stack to start with.
func (s Spec) Lines() []Line {
	if s.Stack.Given {
		return s.Stack.Value
	}
	return Candidates(autoFabric, autoPlies)[autoPlies-1]
}

// Candidates returns stacks of one cloth, lightest first, of 1 to most plies.
// Each is symmetric about its middle and begins at the faces with 0 degrees,
// 45 following in turn, so that with a balanced cloth it neither warps nor
// favours a direction more than the number of plies forces it to.
func Candidates(fabric string, most int) [][]Line {
	var out [][]Line
	for n := 1; n <= most; n++ {
		var stack []Line
		for i := range n {
			angle := 0.0
			if min(i, n-1-i)%2 == 1 {
				angle = 45
			}
			stack = append(stack, Line{Fabric: fabric, Angle: si.Degrees(angle)})
		}
		out = append(out, stack)
	}
	return out
}
