package carve

import (
	"fmt"
	"math"
	"strconv"

	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/si"
)

// Template checks the carved shape at a station: the other side of the section,
// that stands on the base plane; of a cavity the section itself, that hangs from
// its mouth.
type Template struct {
	Name    string        `json:"name"`
	Axis    string        `json:"axis"`   // along which the station is counted
	Across  string        `json:"across"` // the level direction in it
	From    string        `json:"seen_from"`
	At      si.Length     `json:"at_m"`
	Height  si.Length     `json:"height_m"`         // of the shape there; of a cavity the depth
	Halves  bool          `json:"halves,omitempty"` // the shape hooks over: pushed on from both sides
	Outline []geom.Region `json:"-"`
	Section []geom.Region `json:"-"`
}

// Wood of a template beside the section and behind it, m. Common practice, no source.
const (
	handleLeast = 30e-3
	handleMost  = 60e-3
	handleShare = 0.15 // of the section's width
	scrap       = 1e-4 // m²; a smaller piece of a template is none
)

// templates makes one for each station, and one along.
func (b builder) templates() (out []Template, err error) {
	across, along := b.sections()
	if len(along.cut) > 0 {
		across = append(across, along)
	}
	for _, s := range across {
		t := Template{Name: s.name, Axis: s.axis, Across: s.across, From: s.from, At: si.Length(s.at), Section: s.cut}
		high, _ := s.top()
		if t.Height = si.Length(high); b.in.Cavity {
			t.Height = si.Length(-s.bounds().Min.Y)
		}
		t.Halves = s.overhangs()
		if t.Outline, err = b.template(s); err != nil {
			return nil, fmt.Errorf("template %s: %w", s.name, err)
		}
		if t.Halves {
			if t.Outline, err = halved(t.Outline, s); err != nil {
				return nil, fmt.Errorf("template %s: %w", s.name, err)
			}
		}
		if len(t.Outline) > 0 {
			out = append(out, t)
		}
	}
	return out, nil
}

// template is the outline to saw.
func (b builder) template(s section) ([]geom.Region, error) {
	box := s.bounds()
	m := min(max(handleLeast, handleShare*(box.Max.X-box.Min.X)), handleMost)
	if b.in.Cavity {
		bar := geom.Rect(box.Min.X-m, -hair, box.Max.X+m, m)
		return geom.Union(append([]geom.Region{bar.Region()}, s.cut...)...)
	}
	plate := geom.Rect(box.Min.X-m, 2*hair, box.Max.X+m, box.Max.Y+m) // not from 0: no film is left under the section
	rest, err := geom.Difference([]geom.Region{plate.Region()}, s.cut)
	return worth(rest), err
}

// halved parts a template at the section's crown.
func halved(of []geom.Region, s section) ([]geom.Region, error) {
	_, crown := s.top()
	box := boundsOf(of)
	var out []geom.Region
	for _, half := range []geom.Polygon{
		geom.Rect(box.Min.X-1, box.Min.Y-1, crown, box.Max.Y+1), geom.Rect(crown, box.Min.Y-1, box.Max.X+1, box.Max.Y+1)} {
		part, err := geom.Intersect(of, []geom.Region{half.Region()})
		if err != nil {
			return nil, err
		}
		out = append(out, worth(part)...)
	}
	return out, nil
}

func worth(of []geom.Region) (out []geom.Region) {
	for _, r := range of {
		if r.Area() > scrap {
			out = append(out, r)
		}
	}
	return out
}

// Frame is stations on a spine, to be covered with a skin.
type Frame struct {
	Formers   []Former  `json:"formers"` // the spine last
	Thickness si.Length `json:"thickness_m"`
	Skin      si.Length `json:"skin_m"`
}

// Clear returns the widest gap between two neighbouring formers across the same axis.
func (f Frame) Clear() (widest si.Length) {
	at := map[string]si.Length{} // the last former's place
	for _, one := range f.Formers {
		if last, known := at[one.Axis]; known {
			widest = max(widest, one.At-last-f.Thickness)
		}
		at[one.Axis] = one.At
	}
	return widest
}

// Former is one upright board: a section less the skin.
type Former struct {
	Name    string        `json:"name"`
	Axis    string        `json:"axis"`
	Across  string        `json:"across"`
	From    string        `json:"seen_from"`
	At      si.Length     `json:"at_m"`
	Height  si.Length     `json:"height_m"`
	Slots   []Slot        `json:"slots,omitempty"`
	Outline []geom.Region `json:"-"`
	Section []geom.Region `json:"-"` // the finished shape there
}

// Slot is a notch, as wide as a board is thick, in which spine and station cross.
type Slot struct {
	At  si.Length `json:"at_m"` // its middle, along the level direction
	Low si.Length `json:"low_m"`
	Top si.Length `json:"high_m"`
}

// frame makes the formers. A station's slot is open below, the spine's above; both
// reach half the height that the two have in common.
func (b builder) frame() (*Frame, error) {
	f := &Frame{Thickness: b.in.How.Board, Skin: b.in.How.Skin}
	across, along := b.sections()
	spine, err := b.former(along)
	if err != nil {
		return nil, err
	}
	if len(spine.Outline) == 0 {
		return nil, &fault.Input{Field: "mould.build.skin", What: "nothing is left of the spine under the skin", Do: "write a thinner skin, or build from boards"}
	}
	for _, s := range across {
		one, err := b.former(s)
		if err != nil {
			return nil, err
		}
		if len(one.Outline) == 0 {
			continue // near an end the skin takes all of it
		}
		place := float64(spine.At)
		if b.line().Turned {
			place = -place // across y the level axis is −x
		}
		mine, its := crest(one.Outline, place), crest(spine.Outline, s.at)
		if half := min(mine, its) / 2; half > 2*float64(f.Thickness) {
			one.Slots = append(one.Slots, Slot{si.Length(place), 0, si.Length(half)})
			spine.Slots = append(spine.Slots, Slot{one.At, si.Length(half), si.Length(its)})
		}
		f.Formers = append(f.Formers, one)
	}
	f.Formers = append(f.Formers, spine)
	for i := range f.Formers {
		if err := f.Formers[i].notch(float64(f.Thickness)); err != nil {
			return nil, err
		}
	}
	return f, nil
}

// crest is how high a former stands in one from the base plane at s; 0 where it does
// not reach the base there.
func crest(of []geom.Region, s float64) float64 {
	hs := upright(of, s)
	if len(hs) < 2 || hs[0] > 1e-3 {
		return 0
	}
	return hs[1]
}

// former takes the skin's thickness off a section on all sides but the base. The
// section is mirrored below the base for that, so that its foot is not drawn in.
func (b builder) former(s section) (Former, error) {
	out := Former{Name: s.name, Axis: s.axis, Across: s.across, From: s.from, At: si.Length(s.at), Section: s.cut}
	h, _ := s.top()
	out.Height = si.Length(h)
	both, err := geom.Union(append(flipped(s.cut), s.cut...)...)
	if err != nil {
		return out, fmt.Errorf("station %s: %w", s.name, err)
	}
	if both, err = grown(both, -float64(b.in.How.Skin)); err != nil {
		return out, fmt.Errorf("station %s: %w", s.name, err)
	}
	box := s.bounds()
	out.Outline, err = geom.Intersect(both, []geom.Region{geom.Rect(box.Min.X-1, 0, box.Max.X+1, h+1).Region()})
	out.Outline = worth(out.Outline)
	return out, err
}

// notch takes the slots off the outline.
func (f *Former) notch(wide float64) (err error) {
	for _, s := range f.Slots {
		low, high := float64(s.Low), float64(s.Top)
		if low == 0 {
			low = -1e-3
		} else {
			high += 1e-3
		}
		slot := geom.Rect(float64(s.At)-wide/2, low, float64(s.At)+wide/2, high)
		if f.Outline, err = geom.Difference(f.Outline, []geom.Region{slot.Region()}); err != nil {
			return fmt.Errorf("station %s: %w", f.Name, err)
		}
	}
	f.Outline = worth(f.Outline)
	return nil
}

// measure writes millimetres to a tenth, without needless noughts.
func measure(mm float64) string { return strconv.FormatFloat(math.Round(10*mm)/10, 'f', -1, 64) }
