// Package seed answers where on a part its plies are best laid down first, so that
// they shear least on their way to the rim. It needs the part, the direction of the
// warp, the angles of the plies, and the shear at which the first of them locks.
//
// Seeds are tried with a coarse net of yarns each (drape.Trials), for every angle:
// places spread over the part and middles of its curvature, then rings round the
// best. All angles are judged by the worst of them, since a stack has one seed.
//
// Lengths are metres, angles radians; an angle turns from the warp towards the
// weft, seen from the free side. It tells no person anything and cuts nothing: what
// the coarse nets say is for choosing, and the plies are laid anew from the seed.
package seed

import (
	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/slits"
)

// Ask is what a seed is sought for.
type Ask struct {
	Warp      r3.Vec     // direction of angle 0, not yet laid into the surface
	Angles    []si.Angle // of the plies
	Locking   si.Angle   // least of the plies'
	Cuts      bool       // what locks will be cut
	Tolerance si.Angle   // by which the warp may be turned
}

// Search tells what was gained by looking for a seed.
type Search struct {
	Tried        int      `json:"places_tried"`
	MiddleShear  si.Angle `json:"middle_shear_deg"` // largest on a coarse net, seed in the middle
	MiddleLocked float64  `json:"middle_locked_share"`
	SeedShear    si.Angle `json:"seed_shear_deg"` // with the seed that was taken
	SeedLocked   float64  `json:"seed_locked_share"`
	TurnShear    si.Angle `json:"turned_shear_deg"` // with the warp turned by Turn as well
	Turn         si.Angle `json:"turn_deg"`         // within the tolerance; 0: no gain worth it

	Moved bool `json:"-"` // away from the middle
}

// Find returns the place where the plies shear least, and what it gains over the
// seed that the part has, its [Middle], with the warp laid in there ([Aim]). On a
// part that nearly unrolls all places are alike, and the middle stands; so it does,
// and nothing is told of a search, where no net can be laid.
func Find(p *slits.Part, ask Ask) (mesh.Point, *Search) {
	k, err := newSeeker(p, ask)
	if err != nil {
		return p.Seed, nil
	}
	here := k.middle()
	s := &Search{Tried: 1, MiddleShear: si.Angle(here.most), MiddleLocked: here.locked}
	best := here
	if here.most > takes || here.locked > leastShare {
		found := k.look(here, &s.Tried)
		if k.worth(found.burden, here.burden) {
			best, s.Moved = found, true
		}
	}
	s.SeedShear, s.SeedLocked = si.Angle(best.most), best.locked
	k.turns(s, best, float64(ask.Tolerance))
	return best.seed, s
}

// turns tries the warp turned to either end of its tolerance.
func (k *seeker) turns(s *Search, best tried, tolerance float64) {
	s.TurnShear = s.SeedShear
	if best.most <= leastGain || tolerance == 0 {
		return
	}
	for _, turn := range []float64{tolerance, -tolerance} {
		if b := k.try(best.seed, turn); k.worth(b, best.burden) {
			best.burden, s.TurnShear, s.Turn = b, si.Angle(b.most), si.Angle(turn)
		}
	}
}
