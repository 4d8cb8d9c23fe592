package sparse

import (
	"math/bits"
	"sync"
)

// Room is memory that one [Cholesky] after the other works in, so that it need not
// be asked for again and again. Its zero value is an empty one.
type Room struct {
	l      []float64       // of a factor
	spares [subtrees]spare // of threads that make one
	lock   sync.Mutex
	common spare // of solves, of which several may run
}

// list returns room for n numbers of a factor, whatever they are.
func (r *Room) list(n int) []float64 {
	if cap(r.l) < n {
		r.l = nil                     // so that it is not kept beside what follows
		r.l = make([]float64, n+n/16) // the next may be a little larger
	}
	return r.l[:n]
}

// zeros returns so many lists of n zeros, and what to call once they are used up.
func (r *Room) zeros(lists, n int) (out [][]float64, done func()) {
	r.lock.Lock()
	defer r.lock.Unlock()
	for range lists {
		out = append(out, r.common.take(n))
	}
	return out, func() {
		r.lock.Lock()
		defer r.lock.Unlock()
		for _, list := range out {
			r.common.giveBack(list)
		}
	}
}

// spare is one thread's room of what earlier fronts left over and is used up, by
// the number of bits of its size.
type spare struct{ free [48][][]float64 }

// take returns room for n zeros.
func (s *spare) take(n int) []float64 {
	class := bits.Len(uint(n))
	if k := len(s.free[class]); k > 0 {
		list := s.free[class][k-1][:n]
		s.free[class] = s.free[class][:k-1]
		clear(list)
		return list
	}
	return make([]float64, n, 1<<class)
}

func (s *spare) giveBack(list []float64) {
	if n := cap(list); n > 0 {
		class := bits.Len(uint(n)) - 1
		s.free[class] = append(s.free[class], list)
	}
}
