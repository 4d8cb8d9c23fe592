package draw

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Layer names that pattern files carry. A cutter reads "cut" alone; a pen
// plotter or a person reads the others.
const (
	Cut   = "cut"   // where the knife goes
	Mark  = "mark"  // trim line, notches, match marks, seed cross
	Warp  = "warp"  // thread directions
	Words = "text"  // what is written on the piece
	Paper = "paper" // ground and furniture of a page, never part of a pattern
)

// Page is one sheet: its size in millimetres and its layers, lowest first.
type Page struct {
	Name   string  // for the encoder's title; not drawn
	W, H   float64 // mm
	Layers []Layer
}

// Layer is a named set of items, drawn in order.
type Layer struct {
	Name  string
	Items []Item
}

// NewPage returns an empty page of w by h millimetres.
func NewPage(name string, w, h float64) *Page { return &Page{Name: name, W: w, H: h} }

// Add draws items on the named layer, which is made above the others when it
// is first named.
func (p *Page) Add(layer string, items ...Item) {
	for i := range p.Layers {
		if p.Layers[i].Name == layer {
			p.Layers[i].Items = append(p.Layers[i].Items, items...)
			return
		}
	}
	p.Layers = append(p.Layers, Layer{Name: layer, Items: append([]Item(nil), items...)})
}

// Layer returns the items of the named layer.
func (p *Page) Layer(name string) []Item {
	for _, l := range p.Layers {
		if l.Name == name {
			return l.Items
		}
	}
	return nil
}

// Box returns the whole sheet.
func (p *Page) Box() r2.Box { return r2.NewBox(0, 0, p.W, p.H) }

// Bounds returns the box round everything drawn; false for an empty page.
func (p *Page) Bounds() (r2.Box, bool) {
	var all []Item
	for _, l := range p.Layers {
		all = append(all, l.Items...)
	}
	return Bounds(all)
}

// Window returns what shows of the page through the box, on a page of size w
// by h with the box's lower left corner laid at the point at. Paths and facets
// are cut exactly; words that cross the border are kept whole and carry the
// border as their clip.
func (p *Page) Window(name string, box r2.Box, w, h float64, at r2.Vec) *Page {
	out := NewPage(name, w, h)
	shift := Move(r2.Sub(at, box.Min))
	for _, l := range p.Layers {
		for _, it := range l.Items {
			for _, cut := range it.Clipped(box) {
				out.Add(l.Name, cut.Moved(shift))
			}
		}
	}
	return out
}

// Bounds returns the box round the items; false when there are none.
func Bounds(items []Item) (box r2.Box, ok bool) {
	for _, it := range items {
		b := it.Bounds()
		if !ok {
			box, ok = b, true
			continue
		}
		box = join(box, b)
	}
	return box, ok
}

// MoveAll returns the items moved by a.
func MoveAll(a Affine, items []Item) []Item {
	out := make([]Item, len(items))
	for i, it := range items {
		out[i] = it.Moved(a)
	}
	return out
}

// Check refuses a page that no encoder could write true: a side that is not
// over nought, or a coordinate that is not a number.
func (p *Page) Check() error {
	if !(0 < p.W && p.W < math.MaxFloat64 && 0 < p.H && p.H < math.MaxFloat64) {
		return fmt.Errorf("the page is %g x %g mm; both sides must be over 0", p.W, p.H)
	}
	for _, l := range p.Layers {
		for _, it := range l.Items {
			for _, v := range points(it) {
				if math.IsNaN(0 * (v.X + v.Y)) { // NaN and infinity alike
					return fmt.Errorf("layer %q holds a point at (%g, %g), which is not a place", l.Name, v.X, v.Y)
				}
			}
		}
	}
	return nil
}

// points are all the numbers of an item that come in pairs.
func points(it Item) []r2.Vec {
	switch v := it.(type) {
	case Path:
		return v.Points
	case Circle:
		return []r2.Vec{v.At, {X: v.R, Y: v.Pen.Width}}
	case Text:
		return []r2.Vec{v.At, {X: v.Angle, Y: v.Size}, v.Clip.Min, v.Clip.Max}
	case Facets:
		out := make([]r2.Vec, 0, 3*len(v.Tris))
		for _, t := range v.Tris {
			out = append(out, t[:]...)
		}
		return out
	}
	return nil
}
