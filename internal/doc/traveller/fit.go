package traveller

import (
	"fmt"
	"math"

	"laywright/internal/base/si"
	"laywright/internal/doc/draw"
)

// blankHoles is how many lines the hole table has where the plan names none.
const blankHoles = 4

// install is the record of how the part is fitted. What it says of carbon and
// aluminium and of sealing edges is common practice, no source.
func (t *writer) install() {
	if !t.made() {
		return
	}
	t.Heading("Fitting")
	t.warn("cabin-air", "flammability")
	t.Item(draw.Tick, "Edges and holes sealed with thinned resin, so that no water or oil creeps in.")
	t.Item(draw.Tick, "Carbon parted from aluminium by a glass ply or sealant; no aluminium fasteners in carbon.")
	t.Item(draw.Tick, "Bonded faces abraded, wiped, and water stands on them as a film; bonded within the hour.")
	t.Item(draw.Tick, "Clear of exhaust, belts and controls through their whole travel, with the engine rocked.")
	var rows [][]string
	if s := t.plan.Strength; s != nil {
		for i, f := range s.Fasteners {
			rows = append(rows, []string{fmt.Sprint(i + 1), t.load(f.Pull, f.Shear), "", "", "", "", ""})
		}
	}
	for i := len(rows); i < blankHoles; i++ {
		rows = append(rows, []string{fmt.Sprint(i + 1), "", "", "", "", "", ""})
	}
	t.Table(draw.Table{Columns: []draw.Column{{Head: "Hole", Share: 0.7}, {Head: "Bears", Share: 2.9}, {Head: "Diameter", Share: 1.1}, {Head: "To the edge", Share: 1.3}, {Head: "Fastener, washer", Share: 1.8}, {Head: "Torque", Share: 1}, {Head: "Parted with", Share: 1.3}},
		Rows: rows, MinRow: 8.5, Upright: true})
}

// load is what a fastener bears, pulled along its axis and across; a pull that
// is nothing beside the other is left out.
func (t *writer) load(pull, shear si.Force) string {
	pull = si.Force(math.Abs(float64(pull)))
	across := show(t.words, shear) + " across"
	if pull < shear/1000 {
		return across
	}
	return show(t.words, pull) + " pull, " + across
}

// deviations is where whatever went otherwise is written down.
func (t *writer) deviations() {
	if !t.made() {
		return
	}
	t.Heading("Deviations and losses")
	t.Lead("Whatever went otherwise than written here: leaks, late pots, wrong mixes, wrinkles, dry spots, a dropped piece, a cold night. What is not written down can't be learned from.")
	rows := make([][]string, 4)
	for i := range rows {
		rows[i] = []string{fmt.Sprint(i + 1), "", "", "", ""}
	}
	t.Table(draw.Table{Columns: []draw.Column{{Head: "No.", Share: 0.6}, {Head: "Found at step", Share: 1.2}, {Head: "What, where, how large, why", Share: 4}, {Head: "Done about it, who decided", Share: 3}, {Head: "Looked at again", Share: 1.5}},
		Rows: rows, MinRow: 12, Upright: true})
}
