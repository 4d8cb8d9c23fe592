package nest

import "laywright/internal/base/si"

// Progress is how far the search has come on one roll.
type Progress struct {
	Material string    // of the roll
	Length   si.Length // of the shortest layout so far
	Use      float64   // area of the pieces / (width × length)
	Done     float64   // share of the roll's work, 0 to 1
}

// tellEvery is the work between two reports: about a tenth of a second.
const tellEvery = workRate / 10

// watch passes the search's progress to whoever asked for it and remembers
// that the search is to end. It only looks on: a search that is not ended
// comes to the same layout with it as without.
type watch struct {
	tell     func(Progress) bool // nil: nobody asked
	stopped  bool
	roll     Roll
	limit    int64   // work of the roll
	next     int64   // work at which to tell again
	shortest float64 // layout so far, in grown coordinates
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
	p := Progress{Material: w.roll.Material, Length: si.Length(w.shortest) - w.roll.Gap, Done: 1}
	p.Use = w.roll.area() / float64(w.roll.Width*p.Length)
	if work < w.limit {
		p.Done = float64(work) / float64(w.limit)
	}
	w.stopped = !w.tell(p)
}
