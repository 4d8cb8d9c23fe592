package sparse

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
const leafNodes = 16

// dissect orders nodes by halving them in space again and again; the nodes of
// one half that touch the other part them and are eliminated last. Pieces come
// back with both halves of a piece before it, the root last.
//
// For surfaces this comes within a small factor of the least fill possible.
//
// Source: [george1973].
func dissect(places []r3.Vec, near [][]int32) []piece {
	d := dissection{places: places, near: near, side: make([]int8, len(places))}
	all := make([]placed, len(places))
	for i := range all {
		all[i].node = int32(i)
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

// placed is a node and how far it lies along the side that is being halved.
type placed struct {
	far  float64
	node int32
}

func (p placed) before(q placed) bool { return p.far < q.far || p.far == q.far && p.node < q.node }

// split returns the piece that ends the elimination of the nodes, whose order it
// changes.
func (d *dissection) split(nodes []placed) int {
	if len(nodes) <= leafNodes {
		return d.put(nodes, -1, -1)
	}
	d.measure(nodes)
	middle := len(nodes) / 2
	selectNth(nodes, middle)
	for i, p := range nodes {
		d.side[p.node] = 1
		if i >= middle {
			d.side[p.node] = 2
		}
	}
	inner := 0 // of the left: those that touch nothing on the right come first
	for i, p := range nodes[:middle] {
		if !slices.ContainsFunc(d.near[p.node], func(o int32) bool { return d.side[o] == 2 }) {
			nodes[i], nodes[inner] = nodes[inner], nodes[i]
			inner++
		}
	}
	for _, p := range nodes {
		d.side[p.node] = 0
	}
	l, r := -1, -1
	if inner > 0 {
		l = d.split(nodes[:inner])
	}
	if middle < len(nodes) {
		r = d.split(nodes[middle:])
	}
	return d.put(nodes[inner:middle], l, r)
}

func (d *dissection) put(nodes []placed, left, right int) int {
	p := piece{nodes: make([]int32, len(nodes)), left: left, right: right}
	for i, n := range nodes {
		p.nodes[i] = n.node
	}
	d.pieces = append(d.pieces, p)
	return len(d.pieces) - 1
}

// measure finds how far each node lies along the longest side of their box.
func (d *dissection) measure(nodes []placed) {
	low, high := d.places[nodes[0].node], d.places[nodes[0].node]
	for _, n := range nodes {
		p := d.places[n.node]
		low = r3.Vec{X: min(low.X, p.X), Y: min(low.Y, p.Y), Z: min(low.Z, p.Z)}
		high = r3.Vec{X: max(high.X, p.X), Y: max(high.Y, p.Y), Z: max(high.Z, p.Z)}
	}
	size := r3.Sub(high, low)
	for i, n := range nodes {
		p := d.places[n.node]
		switch {
		case size.Y >= size.X && size.Y >= size.Z:
			nodes[i].far = p.Y
		case size.Z >= size.X:
			nodes[i].far = p.Z
		default:
			nodes[i].far = p.X
		}
	}
}

// selectNth reorders nodes so that the n-th stands where it would if all were
// sorted, with no later one before it.
func selectNth(nodes []placed, n int) {
	low, high := 0, len(nodes)-1
	for low < high {
		pivot := middleOf(nodes[low], nodes[(low+high)/2], nodes[high])
		i, j := low, high
		for i <= j {
			for nodes[i].before(pivot) {
				i++
			}
			for pivot.before(nodes[j]) {
				j--
			}
			if i <= j {
				nodes[i], nodes[j] = nodes[j], nodes[i]
				i++
				j--
			}
		}
		switch {
		case n <= j:
			high = j
		case n >= i:
			low = i
		default:
			return
		}
	}
}

func middleOf(a, b, c placed) placed {
	if b.before(a) {
		a, b = b, a
	}
	if c.before(b) {
		b = c
		if b.before(a) {
			b = a
		}
	}
	return b
}
