package num

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// piece is a part of the elimination tree: nodes that are eliminated together
// once both halves that they part are gone.
type piece struct {
	nodes       []int32
	left, right int // pieces that come before; -1: none
}

// leafNodes is the number of nodes that are not halved further: small enough
// for little needless fill, large enough for dense loops to pay.
const leafNodes = 12

// dissect orders nodes by halving them in space again and again; the nodes of
// one half that touch the other part them and are eliminated last. Pieces come
// back with both halves of a piece before it, the root last.
//
// For surfaces this comes within a small factor of the least fill possible.
//
// Source: [george1973].
func dissect(places []r3.Vec, near [][]int32) []piece {
	d := dissection{places: places, near: near, side: make([]int8, len(places))}
	all := make([]int32, len(places))
	for i := range all {
		all[i] = int32(i)
	}
	d.split(all)
	return d.pieces
}

type dissection struct {
	places []r3.Vec
	near   [][]int32
	side   []int8 // scratch: 1 left, 2 right
	pieces []piece
}

// split returns the piece that ends the elimination of the nodes.
func (d *dissection) split(nodes []int32) int {
	if len(nodes) <= leafNodes {
		return d.put(piece{nodes: nodes, left: -1, right: -1})
	}
	left, right := d.halve(nodes)
	for _, n := range left {
		d.side[n] = 1
	}
	for _, n := range right {
		d.side[n] = 2
	}
	var inner, parting []int32
	for _, n := range left {
		if slices.ContainsFunc(d.near[n], func(o int32) bool { return d.side[o] == 2 }) {
			parting = append(parting, n)
		} else {
			inner = append(inner, n)
		}
	}
	for _, n := range nodes {
		d.side[n] = 0
	}
	l, r := -1, -1
	if len(inner) > 0 {
		l = d.split(inner)
	}
	if len(right) > 0 {
		r = d.split(right)
	}
	return d.put(piece{nodes: parting, left: l, right: r})
}

func (d *dissection) put(p piece) int {
	d.pieces = append(d.pieces, p)
	return len(d.pieces) - 1
}

// halve sorts nodes along the longest side of their box and cuts in the middle.
func (d *dissection) halve(nodes []int32) (left, right []int32) {
	low, high := d.places[nodes[0]], d.places[nodes[0]]
	for _, n := range nodes {
		p := d.places[n]
		low = r3.Vec{X: min(low.X, p.X), Y: min(low.Y, p.Y), Z: min(low.Z, p.Z)}
		high = r3.Vec{X: max(high.X, p.X), Y: max(high.Y, p.Y), Z: max(high.Z, p.Z)}
	}
	size := r3.Sub(high, low)
	along := func(p r3.Vec) float64 { return p.X }
	switch {
	case size.Y >= size.X && size.Y >= size.Z:
		along = func(p r3.Vec) float64 { return p.Y }
	case size.Z >= size.X:
		along = func(p r3.Vec) float64 { return p.Z }
	}
	sorted := slices.Clone(nodes)
	slices.SortFunc(sorted, func(a, b int32) int {
		x, y := along(d.places[a]), along(d.places[b])
		switch {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return int(a - b)
	})
	return sorted[:len(sorted)/2], sorted[len(sorted)/2:]
}
