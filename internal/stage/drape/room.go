package drape

import (
	"sync"

	"laywright/internal/base/sparse"
)

// Room is memory for descents. Sheets that share one take turns in it, each on all
// cores, so that many sheets on a large surface need no more memory at a time than
// one, and none asks for it anew. Its zero value is an empty one.
type Room struct {
	turn    sync.Mutex
	system  *system // that works in it now
	factors sparse.Room
	part    [][]part
	slots   []int32
}

// parts returns room for what so many triangles add, by portion.
func (r *Room) parts(n int) [][]part {
	for i := range portions(n) {
		if i == len(r.part) {
			r.part = append(r.part, nil)
		}
		if long := min(portion, n-i*portion); len(r.part[i]) < long {
			r.part[i] = make([]part, long)
		}
	}
	return r.part[:portions(n)]
}

// slotsFor returns room for the slots of so many triangles.
func (r *Room) slotsFor(n int) []int32 {
	if cap(r.slots) < 36*n {
		r.slots = make([]int32, 36*(n+n/16)) // the next surface may be a little larger
	}
	return r.slots[:36*n]
}
