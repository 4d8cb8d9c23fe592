package relay

import "slices"

// Part is a share of a triangle over which the same cloth lies, from the mould.
type Part struct {
	Share float64
	Bits  []PlyBit
}

// PlyBit is the cloth of a ply, by its place in the stack from 0.
type PlyBit struct {
	Ply int
	*Bit
}

// Walls tells of what cloth the wall is made over each triangle of the surface as it
// was given, ply upon ply; what a ply lays twice lies on itself. The parts' shares
// add up to 1, and share times bulk to the flat area of cloth laid:
//
//	Σ area·Σ share·Σ bulk = flat area of cloth on the surface
//
// Plies laid by themselves may be put together, if the surface is the same.
func Walls(plies []Cloth) [][]Part {
	if len(plies) == 0 {
		return nil
	}
	c := &plies[0]
	count := len(c.On)
	if c.in != nil {
		count = int(slices.Max(c.in)) + 1
	}
	out := make([][]Part, count)
	for f := range c.On {
		parts := wallOn(plies, f)
		if c.in == nil {
			out[f] = parts
			continue
		}
		for _, p := range parts {
			p.Share *= c.share[f]
			out[c.in[f]] = append(out[c.in[f]], p)
		}
	}
	return out
}

// field is a part of a triangle while plies are laid over it.
type field struct {
	bits   []PlyBit
	shapes []convex
}

func wallOn(plies []Cloth, f int) []Part {
	fields := []field{{shapes: []convex{unitTriangle[:]}}}
	for i := range plies {
		on := plies[i].On[f]
		for k := range on {
			fields = cover(fields, PlyBit{i, &on[k]})
		}
	}
	whole := 0.0
	for _, r := range fields {
		whole += areaOf(r.shapes)
	}
	out := make([]Part, len(fields))
	for i, r := range fields {
		out[i] = Part{areaOf(r.shapes) / whole, r.bits}
	}
	return out
}

// cover lays cloth over what there is: fields that it covers in part become two.
func cover(fields []field, l PlyBit) (out []field) {
	for _, r := range fields {
		laid := append(r.bits[:len(r.bits):len(r.bits)], l)
		if l.shapes == nil {
			out = append(out, field{laid, r.shapes})
			continue
		}
		var in []convex
		rest := r.shapes
		for _, s := range l.shapes {
			for _, p := range r.shapes {
				if q := p.shared(s); q != nil && q.area() > crumb {
					in = append(in, q)
				}
			}
			rest = without(rest, s, crumb)
		}
		if in != nil {
			out = append(out, field{laid, in})
		}
		if rest != nil {
			out = append(out, field{r.bits, rest})
		}
	}
	return out
}
