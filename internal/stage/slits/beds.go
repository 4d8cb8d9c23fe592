package slits

import (
	"context"
)

// Beds finds the cuts that a ply needs on a part, and lays it: one bed a piece of
// cloth. Bed 0 holds the part's own seed. whole is the ply without cuts, if that
// was laid.
func (p *Part) Beds(ctx context.Context, k Ask, whole *Bed) ([]*Bed, error) {
	var b *Bed
	var err error
	switch {
	case len(k.Drawn) > 0:
		b, err = p.Drawn(ctx, k.Drawn, k)
	case k.Forbid:
		b = whole
	default:
		b, err = p.Cut(ctx, k, whole)
	}
	return []*Bed{b}, err
}
