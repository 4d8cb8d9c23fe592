package coats

import (
	"math"
	"strings"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/radius"
)

// Finish is what the mould's face is brought to.
type Finish string

// The finishes: for a part that is painted, and for one whose cloth is seen.
const (
	Painted Finish = "painted"
	Clear   Finish = "clear"
)

// Body is one of the mould's materials.
type Body struct {
	Name      string
	Porous    bool
	Sealer    int
	SealerDry material.Datum[si.Time]
	Hardening material.Datum[si.Time]
}

// carved tells whether it is shaped in the shop, and so filled, sanded and primed.
func (b Body) carved() bool { return b.Porous || b.Sealer > 0 }

// Input is what has to be made ready.
type Input struct {
	Air     Air
	Bodies  []Body
	Face    si.Area      // of the mould, all of which is filled, sealed and primed
	Part    si.Area      // what is laminated, which gets wax and film
	Shape   radius.Areas // the face by class
	Fillets si.Length    // of its hollows
	Finish  Finish       // painted where empty
}

// Plan is how it is made ready.
type Plan struct {
	Coats []Coat
	Ready si.Time // drying alone
	Paper []Paper
	Work  []Work
}

// Paper is a grit and how many sheets of it are used up.
type Paper struct {
	Grit   int `json:"grit"`
	Sheets int `json:"sheets"` // 230 x 280 mm
}

// Work is a range of hours: they depend on the hand.
type Work struct {
	What string  `json:"what"`
	Low  si.Time `json:"low_s"`
	High si.Time `json:"high_s"`
}

// The land round the part that stays free of wax and film, so that sealant tape
// holds. Common practice, no source.
const (
	LandLow  si.Length = 0.040
	LandHigh si.Length = 0.060
)

// Make lists the coats in their order, with what is sanded after them.
func Make(in Input) (p Plan) {
	carved := false
	for _, b := range in.Bodies {
		if d := b.Hardening; d.Known {
			c := base{what: b.Name + " hardens", coats: 1, dry: d.Value, law: Reaction}.in(in.Air, 0, d.Origin)
			if b.carved() {
				c.Sand = rough
			}
			p.Coats = append(p.Coats, c)
		}
		carved = carved || b.carved()
	}
	if s, origin := seal(in.Bodies); s.coats > 0 {
		p.Coats = append(p.Coats, s.in(in.Air, in.Face, origin))
	}
	if carved {
		c := primer.in(in.Air, in.Face, material.Practice)
		c.Sand, c.Wet = fine(in.Finish), true
		p.Coats = append(p.Coats, c)
	}
	p.Coats = append(p.Coats, wax.in(in.Air, in.Part, material.Practice), film.in(in.Air, in.Part, material.Practice))
	for _, c := range p.Coats {
		p.Ready += c.Total()
		p.sand(c.Sand, in.Face)
	}
	p.Work = work(in, carved)
	return p
}

// seal is the sealer on all that needs it, put on at once: as many coats, each
// drying as long, as the material that wants most.
func seal(bodies []Body) (s base, origin material.Origin) {
	var names []string
	s, origin = sealer, material.Practice
	s.dry = 0
	for _, b := range bodies {
		if b.Sealer == 0 {
			continue
		}
		names = append(names, b.Name)
		s.coats = max(s.coats, b.Sealer)
		if dry := b.SealerDry.Or(sealer.dry); dry > s.dry {
			s.dry = dry
			if b.SealerDry.Known {
				origin = b.SealerDry.Origin
			}
		}
	}
	s.what = "sealer on " + strings.Join(names, " and ")
	return s, origin
}

// Grits of filler, and of primer by finish. Common practice, no source.
var rough = []int{80, 120, 180, 240}

func fine(f Finish) []int {
	if f == Clear {
		return []int{320, 400, 600, 800, 1000}
	}
	return []int{320, 400}
}

// sheetLasts is how much of a mould a sheet of paper dresses before it is dull, m²:
// a guess.
const sheetLasts = 0.3

func (p *Plan) sand(grits []int, face si.Area) {
	for _, g := range grits {
		sheets := max(1, int(math.Ceil(float64(face)/sheetLasts-1e-9)))
		known := false
		for i := range p.Paper {
			if p.Paper[i].Grit == g {
				p.Paper[i].Sheets += sheets
				known = true
			}
		}
		if !known {
			p.Paper = append(p.Paper, Paper{g, sheets})
		}
	}
}
