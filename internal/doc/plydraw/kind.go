package plydraw

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"laywright/internal/job"
	"laywright/internal/stage/flat"
	"laywright/internal/stage/plies"
)

// Kind is the plies that lie alike: each vertex of the mould at the same flat
// place, slit along the same lines, with the same locking angle. The first stands
// for all but in number and fabric.
type Kind struct {
	First plies.Ply
	Plies []plies.Ply
}

// kindsOf groups the plies of a plan.
func kindsOf(p job.Plan) (out []Kind) {
	if p.Plies == nil {
		return nil
	}
	for _, ply := range p.Plies.Plies {
		if ply.Laid == nil {
			continue
		}
		i := slices.IndexFunc(out, func(k Kind) bool { return k.like(ply) && p.Locking(k.First.Fabric) == p.Locking(ply.Fabric) })
		if i < 0 {
			i, out = len(out), append(out, Kind{First: ply})
		}
		out[i].Plies = append(out[i].Plies, ply)
	}
	return out
}

// like tells whether a ply lies as those of the kind do.
func (k Kind) like(p plies.Ply) bool {
	a, b := k.First.Laid, p.Laid
	if k.First.Beside != p.Beside { // of doublers, other places
		return false
	}
	return a == b || slices.Equal(a.Flat, b.Flat) && slices.EqualFunc(k.First.Seams, p.Seams, func(s, t flat.Seam) bool { return s.Over == t.Over && slices.Equal(s.Line, t.Line) })
}

// Label names the plies: "Ply 3", "Plies 1, 3 and 5".
func (k Kind) Label() string {
	if len(k.Plies) == 1 {
		return "Ply " + k.Numbers()
	}
	return "Plies " + k.Numbers()
}

// Numbers lists the plies: "3", "1 and 3", "1, 3 and 5".
func (k Kind) Numbers() string {
	var n []string
	for _, p := range k.Plies {
		n = append(n, strconv.Itoa(p.Number))
	}
	if len(n) == 1 {
		return n[0]
	}
	return strings.Join(n[:len(n)-1], ", ") + " and " + n[len(n)-1]
}

// Cloth names what the plies are cut from and how it lies: "carbon-twill-200
// at 45°".
func (k Kind) Cloth() string {
	var names []string
	seen := map[string]bool{}
	for _, p := range k.Plies {
		if !seen[p.Fabric] {
			seen[p.Fabric] = true
			names = append(names, p.Fabric)
		}
	}
	out := fmt.Sprintf("%s at %.0f°", strings.Join(names, " and "), k.First.Angle.Degrees())
	if len(k.First.Within) > 0 {
		out += ", doubler"
	}
	return out
}

// Advice is how a kind of ply is laid by hand.
func (k Kind) Advice() plies.Advice { return k.First.Advice }

// stem begins the names of a kind's pictures.
func (k Kind) stem() string { return fmt.Sprintf("ply-%02d", k.First.Number) }
