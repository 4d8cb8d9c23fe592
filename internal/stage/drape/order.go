package drape

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// leafNodes is the number of nodes below which a part is not split further.
const leafNodes = 24

// dissect returns an order of elimination by nested dissection: the nodes are
// cut in two halves at the median of their longer extent, the nodes of one half
// that touch the other come last, and the halves are ordered in the same way.
// place is where each node lies, adjacent which nodes it touches.
//
// Source: [george1973].
func dissect(place []r3.Vec, adjacent [][]int32) []int32 {
	d := &dissector{place: place, adjacent: adjacent, side: make([]int32, len(place)),
		order: make([]int32, 0, len(place))}
	all := make([]int32, len(place))
	for i := range all {
		all[i] = int32(i)
	}
	d.split(all)
	return d.order
}

type dissector struct {
	place    []r3.Vec
	adjacent [][]int32
	side     []int32 // number of the half that a node was last put in
	halves   int32
	order    []int32
}

func (d *dissector) split(nodes []int32) {
	if len(nodes) <= leafNodes {
		d.order = append(d.order, nodes...)
		return
	}
	d.sortAlongLongest(nodes)
	mid := len(nodes) / 2
	d.halves++
	low, high := nodes[:mid], nodes[mid:]
	for _, v := range high {
		d.side[v] = d.halves
	}
	var inner, separator []int32
	for _, v := range low {
		if d.touches(v, d.halves) {
			separator = append(separator, v)
		} else {
			inner = append(inner, v)
		}
	}
	d.split(inner)
	d.split(high)
	d.order = append(d.order, separator...)
}

func (d *dissector) touches(v, half int32) bool {
	return slices.ContainsFunc(d.adjacent[v], func(w int32) bool { return d.side[w] == half })
}

func (d *dissector) sortAlongLongest(nodes []int32) {
	lo, hi := d.place[nodes[0]], d.place[nodes[0]]
	for _, v := range nodes {
		p := d.place[v]
		lo = r3.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y), Z: min(lo.Z, p.Z)}
		hi = r3.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y), Z: max(hi.Z, p.Z)}
	}
	size := r3.Sub(hi, lo)
	key := func(v int32) float64 { return d.place[v].X }
	switch {
	case size.Y > size.X && size.Y >= size.Z:
		key = func(v int32) float64 { return d.place[v].Y }
	case size.Z > size.X:
		key = func(v int32) float64 { return d.place[v].Z }
	}
	slices.SortFunc(nodes, func(a, b int32) int {
		if c := cmp.Compare(key(a), key(b)); c != 0 {
			return c
		}
		return cmp.Compare(a, b)
	})
}
