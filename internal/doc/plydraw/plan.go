package plydraw

import (
	"laywright/internal/job"
	"laywright/internal/stage/plies"
	"laywright/internal/stage/relay"
)

// Advice is how a kind of ply is laid by hand.
func (k Kind) Advice() plies.Advice { return k.First.Advice }

// covered is what a kind of ply covers when its pieces are put back on the mould.
func covered(p job.Plan, k Kind) (relay.Covered, bool) {
	for _, c := range p.Plies.Relaid.Plies {
		if c.Number == k.First.Number {
			return c, true
		}
	}
	return relay.Covered{}, false
}
