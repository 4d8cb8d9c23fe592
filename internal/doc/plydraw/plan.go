package plydraw

import (
	"laywright/internal/job"
	"laywright/internal/stage/plies"
	"laywright/internal/stage/relay"
)

// Advice is how a kind of ply is laid by hand.
func (k Kind) Advice() plies.Advice { return plies.Advice{} }

// relayOf is what the pieces cover when they are put back on the mould.
func relayOf(job.Plan) *relay.Result { return nil }
