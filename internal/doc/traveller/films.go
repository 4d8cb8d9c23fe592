package traveller

import (
	"fmt"
	"strings"

	"laywright/internal/base/fault"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
	"laywright/internal/doc/dressdraw"
	"laywright/internal/stage/carrier"
	"laywright/internal/stage/dress"
)

// Height of the pictures of films, mm, and how many stand side by side.
const (
	filmHigh   = 70
	filmAcross = 2
	filmGap    = 5
)

// films says which pieces each pot wets, on which film, and in which order.
func (t *writer) films() {
	if t.plan.Dress == nil || t.plan.Dress.Carrier == nil || len(t.plan.Dress.Carrier.Batches) == 0 {
		return
	}
	c := *t.plan.Dress.Carrier
	t.Heading("Wetting out between films")
	t.Lead(fmt.Sprintf("For each pot lay out one length of %s, the pieces on it as drawn: in the order of laying, in rows from left to right, each row from below upwards. Pour and spread, lay a second film of the same length over them, and work the resin through. Then cut the films apart between the rectangles, and weigh each piece with its two films: too heavy, press some out; too light, add.", c.Film))
	t.batches(c)
	for i := 0; i < len(c.Batches); i += filmAcross {
		for k, box := range draw.Split(t.Room(filmHigh), filmAcross, filmGap) {
			if i+k < len(c.Batches) {
				b := c.Batches[i+k]
				head := fmt.Sprintf("Pot %d: %s of a %s roll", b.Pot, length(t.words, b.Length), length(t.words, c.Width))
				t.Draw(dressdraw.FilmPicture(t.plan, c.Width, b, head, box)...)
			}
		}
	}
}

// batches lists the pieces pot by pot.
func (t *writer) batches(c carrier.Result) {
	var rows [][]string
	for _, b := range c.Batches {
		for i, p := range b.Pieces {
			pot, film := "", ""
			if i == 0 {
				pot, film = fmt.Sprint(b.Pot), "2 × "+length(t.words, b.Length)
			}
			rows = append(rows, []string{pot, film, fmt.Sprintf("%d: %s", p.Order, p.Piece), fmt.Sprint(p.Row), grams(p.Dry), "", grams(p.Resin+p.Kept) + alsoFrom(p), grams(p.Goal), "", draw.Tick})
		}
	}
	t.Table(draw.Table{Columns: []draw.Column{{Head: "Pot", Share: 0.6}, {Head: "Films", Share: 1.5}, {Head: "Piece, in order", Share: 1.5}, {Head: "Row", Share: 0.8}, {Head: "Dry", Share: 1, Align: draw.End}, {Head: "Weighed", Share: 1.2}, {Head: "Pour on", Share: 1.8}, {Head: "Weigh to", Share: 1.1, Align: draw.End}, {Head: "Weighed", Share: 1.2}, {Head: "Wet", Share: 0.7, Align: draw.Centre}},
		Rows: rows, MinRow: 6.5, Upright: true})
}

// alsoFrom says what of a piece's resin comes from other pots.
func alsoFrom(p carrier.Placed) string {
	var parts []string
	for _, s := range p.Share {
		parts = append(parts, fmt.Sprintf("%s from pot %d", grams(s.Mass), s.Pot))
	}
	if len(parts) == 0 {
		return ""
	}
	return "; also " + strings.Join(parts, ", ")
}

// over lists the sheets that go over the cloth, from the laminate upwards.
func (t *writer) over() {
	if t.plan.Dress == nil || len(t.plan.Dress.Sheets) == 0 {
		return
	}
	t.Heading("Over the cloth, in this order")
	var rows [][]string
	add := func(sheet, pieces, lies string) {
		rows = append(rows, []string{fmt.Sprint(len(rows) + 1), sheet, pieces, lies, draw.Tick})
	}
	for _, s := range t.plan.Dress.Sheets {
		if b := t.plan.Bag; s.Use == string(material.BagFilm) && b != nil && b.BreatherArea > 0 {
			add("film without holes", "cut by hand, "+show(t.words, b.BarrierArea), "an inch smaller than the bleeder all round")
			add("breather", "cut by hand, "+show(t.words, b.BreatherArea), "over the bleeder's edge all round, with a tongue to every port")
		}
		add(s.Use+"\n"+s.Material, pieces(s), t.edge(s))
	}
	t.Table(draw.Table{Columns: []draw.Column{{Head: "No.", Share: 0.6}, {Head: "Sheet", Share: 2.6}, {Head: "Pieces, full size in patterns/", Share: 3}, {Head: "How it lies", Share: 4}, {Head: "On", Share: 0.7, Align: draw.Centre}},
		Rows: rows, MinRow: 9, Upright: true})
}

func pieces(s dress.Laid) string {
	var names []string
	for _, p := range s.Pieces {
		names = append(names, p.Name)
	}
	out := strings.Join(names, ", ")
	if s.Layers > 1 {
		out += fmt.Sprintf(", %d of each", s.Layers)
	}
	return out
}

// edge says how far a sheet goes past the part's edge, and how its seams lie.
func (t *writer) edge(s dress.Laid) string {
	if s.Margin == 0 {
		return "with slack at every hollow"
	}
	out := length(t.words, s.Margin) + " past the part's edge"
	slits := 0
	for _, p := range s.Pieces {
		slits += len(p.Stops)
	}
	if s.Seams > 0 {
		lies := "edges meet"
		if lap := s.Pieces[0].Lap; lap > 0 {
			lies = "laps of " + length(t.words, lap) + ", less at the tips"
		}
		if slits > 0 {
			out += "; " + fault.Count(slits, "slit", "slits")
		}
		out += "; " + lies
	}
	return out
}

// offRoll says what length of its roll all layers of a sheet for one part come to.
func (t *writer) offRoll(use string) string {
	d := t.plan.Dress
	if d == nil {
		return ""
	}
	for _, s := range d.Sheets {
		for _, r := range d.Rolls {
			if s.Use == use && s.Material == r.Material {
				one := r.Length / si.Length(t.plan.Spec.Copies())
				return "\n" + length(t.words, one) + " of a " + length(t.words, r.Width) + " roll"
			}
		}
	}
	return ""
}
