package nest

import "laywright/internal/base/si"

// Progress is how far one search has come: that of a roll, or of a piece of the
// stock.
type Progress struct {
	Material string    // of the roll
	Stock    string    // its name, if it is in the shop
	Length   si.Length // of the shortest layout so far
	Use      float64   // area of the pieces / (width × length)
	Done     float64   // share of the search's work, 0 to 1
}

// tellEvery is the work between two reports: about a tenth of a second.
const tellEvery = workRate / 10

// watch passes the progress of searches to whoever asked for it and remembers
// that they are to end. It only looks on: a search that is not ended comes to
// the same layout with it as without.
type watch struct {
	tell     func(Progress) bool // nil: nobody asked
	stopped  bool
	material string
	lane     lane
	gap      float64
	area     float64 // of all pieces
	limit    int64   // work of the search
	next     int64   // work at which to tell again
	shortest float64 // layout so far, in grown coordinates
}

// begin starts to tell of a search for copies of those kinds on a lane.
func (w *watch) begin(l lane, k *kit, kinds []int, limit int64) {
	w.lane, w.gap, w.area, w.limit, w.next = l, k.gap, k.area(kinds), limit, 0
}

// better tells of a shorter layout found after some work.
func (w *watch) better(length float64, work int64) {
	w.shortest = length
	w.report(work)
}

// tick tells again after a while.
func (w *watch) tick(work int64) {
	if work >= w.next {
		w.report(work)
	}
}

func (w *watch) report(work int64) {
	w.next = work + tellEvery
	if w.tell == nil || w.stopped {
		return
	}
	p := Progress{Material: w.material, Stock: w.lane.name, Length: si.Length(w.shortest - w.gap), Done: 1}
	p.Use = w.area / (w.lane.width * float64(p.Length))
	if work < w.limit {
		p.Done = float64(work) / float64(w.limit)
	}
	w.stopped = !w.tell(p)
}
