package cut

import (
	"slices"

	"laywright/internal/base/mesh"
)

// refit mends the sides of slits on which a new cut ends at vertex v, which lies
// on the new cut's right now, with twin on its left.
func (g *Ground) refit(v, twin int32) {
	var out []Slit
	for _, s := range g.Slits {
		out = append(out, g.refitted(s, v, twin)...)
	}
	g.Slits = out
}

// refitted returns a slit with the copy of v that each part of it now runs to,
// in two where the copies differ.
func (g *Ground) refitted(s Slit, v, twin int32) []Slit {
	at := -1
	var come, gone [2]int32 // the copies that the left and the right side run to and from
	for k, side := range [2][]int32{s.Left, s.Right} {
		i := slices.Index(side, v)
		if i < 0 {
			continue
		}
		at = i
		come[k], gone[k] = v, v
		if i > 0 && !g.joined(side[i-1], v) {
			come[k] = twin
		}
		if i+1 < len(side) && !g.joined(side[i+1], v) {
			gone[k] = twin
		}
	}
	if at < 0 {
		return []Slit{s}
	}
	var parts []Slit
	n := max(len(s.Left), len(s.Right))
	cut := func(from, to int) {
		if to-from < 1 {
			return
		}
		part := Slit{Route: s.Route, RightOver: s.RightOver}
		for k, side := range [2][]int32{s.Left, s.Right} {
			if side == nil {
				continue
			}
			piece := slices.Clone(side[from : to+1])
			if side[at] == v && from == at {
				piece[0] = gone[k]
			} else if side[at] == v && to >= at {
				piece[at-from] = come[k]
			}
			if k == 0 {
				part.Left = piece
			} else {
				part.Right = piece
			}
		}
		parts = append(parts, part)
	}
	if at > 0 && at < n-1 && come != gone {
		cut(0, at)
		cut(at, n-1)
		return parts
	}
	if at == 0 {
		come = gone
	}
	cut(0, n-1)
	return parts
}

// joined tells whether a side runs between two vertices.
func (g *Ground) joined(a, b int32) bool { return g.Top.EdgeBetween(int(a), int(b)) >= 0 }

// Pieces returns the ground's components as grounds of their own, in the order of
// their lowest triangles. A slit between two of them leaves each with one side.
func (g *Ground) Pieces() []*Ground {
	of, count := g.Top.Components()
	if count < 2 {
		return []*Ground{g}
	}
	faces := make([][]int32, count)
	for f, c := range of {
		faces[c] = append(faces[c], int32(f))
	}
	var out []*Ground
	for _, list := range faces {
		part := g.Top.Mesh.Extract(list)
		top, err := mesh.NewTopology(part.Mesh)
		if err != nil {
			return []*Ground{g} // cannot be: its triangles are those of g
		}
		now := map[int32]int32{}
		piece := &Ground{Top: top, From: make([]int32, len(part.Vertex))}
		for v, u := range part.Vertex {
			piece.From[v] = g.From[u]
			now[u] = int32(v)
		}
		for _, s := range g.Slits {
			s.Left, s.Right = renumbered(s.Left, now), renumbered(s.Right, now)
			if s.Left != nil || s.Right != nil {
				piece.Slits = append(piece.Slits, s)
			}
		}
		out = append(out, piece)
	}
	return out
}

// renumbered returns a side's vertices by their new numbers; nil where some have
// none.
func renumbered(side []int32, now map[int32]int32) []int32 {
	var out []int32
	for _, v := range side {
		u, ok := now[v]
		if !ok {
			return nil
		}
		out = append(out, u)
	}
	return out
}
