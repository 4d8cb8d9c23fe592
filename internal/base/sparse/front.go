package sparse

// front is one dense piece of the elimination. Its rows are the unknowns that it
// eliminates, its pivots, and those that follow, each filled up to whole panels
// of [lanes]. l holds the pivots' columns of all rows; what is left over for the
// front that follows is a lower triangle of panels, panel I being lanes·(I+1)
// columns wide.
type front struct {
	unknowns    []int32 // pivots first, then the rest, in order of elimination
	pivots      int
	left, right int       // fronts before this one; -1: none
	place       []int32   // by row of the rest: its row in the front that follows
	own         []slot    // where the matrix's own entries belong
	l           []float64 // of panels lanes·width long
	thread      int       // that begins here and runs what is left of it; 0: none
}

// slot takes an entry of the matrix to its place in l.
type slot struct{ from, to int32 }

func (f *front) rest() int { return len(f.unknowns) - f.pivots }

// width is the number of columns of l.
func (f *front) width() int { return padded(f.pivots) }

// panels is the number of panels of l.
func (f *front) panels() int { return (f.width() + padded(f.rest())) / lanes }

// entries is how many numbers l holds.
func (f *front) entries() int { return f.panels() * lanes * f.width() }

// row returns the row of l of the i-th unknown.
func (f *front) row(i int) int {
	if i < f.pivots {
		return i
	}
	return f.width() + i - f.pivots
}

// at returns the place in l of row r and column c.
func (f *front) at(r, c int) int { return r/lanes*lanes*f.width() + lanes*c + r%lanes }

// triangle is how many numbers a lower triangle of so many panels holds.
func triangle(panels int) int { return lanes * lanes * panels * (panels + 1) / 2 }

// load clears the front and puts the matrix's own entries in. It returns for each
// pivot the value below which it counts as nothing.
func (f *front) load(val []float64) []float64 {
	clear(f.l)
	for _, s := range f.own {
		f.l[s.to] = val[s.from]
	}
	floor := make([]float64, f.width())
	for k := range f.pivots {
		floor[k] = vanished * f.l[f.at(k, k)]
	}
	return floor
}

// extend adds what an earlier front left over, to l or to the rest.
func (f *front) extend(child *front, left, rest []float64) {
	n, width := child.rest(), f.width()
	for panel := 0; lanes*panel < n; panel++ {
		var inL, inRest [lanes]int // of a row, less its column
		here := child.place[lanes*panel : min(n, lanes*panel+lanes)]
		for k, r := range here {
			inL[k] = f.at(int(r), 0)
			if r := int(r) - width; r >= 0 {
				inRest[k] = triangle(r/lanes) + r%lanes
			}
		}
		from := left[triangle(panel):]
		for c := range lanes*panel + len(here) {
			to, start, column := f.l, &inL, int(child.place[c])
			if column >= width {
				to, start, column = rest, &inRest, column-width
			}
			v := from[lanes*c : lanes*c+len(here)]
			for k := max(0, c-lanes*panel); k < len(v); k++ {
				to[start[k]+lanes*column] += v[k]
			}
		}
	}
}

// eliminate factors the pivots' columns and takes their part from the rest:
//
//	A = [L₁₁ 0; L₂₁ 1]·[1 0; 0 S]·[L₁₁ᵀ L₂₁ᵀ; 0 1],   S = A₂₂ − L₂₁·L₂₁ᵀ
//
// It returns -1, or the column whose pivot is not positive beside floor.
func (f *front) eliminate(rest, floor []float64) int {
	width, panels := f.width(), f.panels()
	long := lanes * width
	for at := 0; at < width; at += lanes {
		b := f.l[at*width : at*width+long]
		diagonal := b[lanes*at : lanes*at+lanes*lanes]
		for i := at / lanes; i < panels && at > 0; i++ {
			a := f.l[i*long : (i+1)*long]
			for c := at; c < at+lanes; c += half {
				lessTile(a[lanes*c:], a, b[c-at:], at)
			}
		}
		inverse, bad := factorTile(diagonal, min(lanes, f.pivots-at), floor[at:])
		if bad >= 0 {
			return at + bad
		}
		for i := at/lanes + 1; i < panels; i++ {
			solveTile(f.l[i*long+lanes*at:], diagonal, &inverse)
		}
	}
	below := f.l[width*width:] // panels of the rest
	for i := 0; i*long < len(below) && width > 0; i++ {
		a, to := below[i*long:(i+1)*long], rest[triangle(i):]
		for c := 0; c < lanes*(i+1); c += half {
			lessTile(to[lanes*c:], a, below[c/lanes*long+c%lanes:], width)
		}
	}
	return -1
}

// after returns the unknowns of a panel of the rest.
func (f *front) after(panel int) []int32 {
	from := f.pivots + lanes*panel - f.width()
	return f.unknowns[from:min(len(f.unknowns), from+lanes)]
}

// forward solves L·y = b for the front's pivots, of which b stands in x, and takes
// their share out of what follows in more.
func (f *front) forward(x, more, y []float64) {
	width := f.width()
	for k, u := range f.unknowns[:f.pivots] {
		y[k] = x[u] + more[u]
	}
	clear(y[f.pivots:width])
	for panel := range f.panels() {
		rows, first := f.l[panel*lanes*width:(panel+1)*lanes*width], lanes*panel
		var b [lanes]float64
		if first >= width {
			lessColumns(&b, rows, y[:width])
			for r, u := range f.after(panel) {
				more[u] += b[r]
			}
			continue
		}
		copy(b[:], y[first:first+lanes])
		lessColumns(&b, rows, y[:first])
		for k := range lanes {
			column := rows[lanes*(first+k) : lanes*(first+k)+lanes]
			b[k] /= column[k]
			for r := k + 1; r < lanes; r++ {
				b[r] -= column[r] * b[k]
			}
		}
		copy(y[first:first+lanes], b[:])
	}
	for k, u := range f.unknowns[:f.pivots] {
		x[u] = y[k]
	}
}

// backward solves Lᵀ·x = y for the front's pivots, of which y stands in x.
func (f *front) backward(x, y []float64) {
	width := f.width()
	for k, u := range f.unknowns[:f.pivots] {
		y[k] = x[u]
	}
	clear(y[f.pivots:width])
	for panel := f.panels() - 1; panel >= 0; panel-- {
		rows, first := f.l[panel*lanes*width:(panel+1)*lanes*width], lanes*panel
		var z [lanes]float64
		if first >= width {
			for r, u := range f.after(panel) {
				z[r] = x[u]
			}
			lessRows(y[:width], rows, &z)
			continue
		}
		copy(z[:], y[first:first+lanes])
		for k := lanes - 1; k >= 0; k-- {
			column := rows[lanes*(first+k) : lanes*(first+k)+lanes]
			for r := k + 1; r < lanes; r++ {
				z[k] -= column[r] * z[r]
			}
			z[k] /= column[k]
		}
		copy(y[first:first+lanes], z[:])
		lessRows(y[:first], rows, &z)
	}
	for k, u := range f.unknowns[:f.pivots] {
		x[u] = y[k]
	}
}
