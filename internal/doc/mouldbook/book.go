package mouldbook

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"laywright/internal/base/fault"
	"laywright/internal/doc/draw"
	"laywright/internal/job"
	"laywright/internal/stage/mould"
)

// writer lays the book out.
type writer struct {
	*draw.Flow
	words
	plan  job.Plan
	build *mould.Build
}

// chapters are the parts of the book in their order; each writes nothing where the
// plan has nothing for it.
var chapters = []func(*writer){
	(*writer).wanted,
	(*writer).order,
	(*writer).stack,
	(*writer).boards,
	(*writer).sheets,
	(*writer).stations,
	(*writer).templates,
	(*writer).gauges,
}

// Pages is the book; none where the plan's mould is not built from boards.
func Pages(p job.Plan, sheet draw.Sheet) []draw.Page {
	if p.Mould == nil || p.Mould.Build == nil {
		return nil
	}
	w := &writer{Flow: draw.NewFlow(sheet, "Millimetres, as on the full-size drawings in patterns/. Measure the check square of every print."), words: wordsOf(p), plan: p, build: p.Mould.Build}
	title := "How to build the mould"
	if p.Job.Name != "" {
		title = p.Job.Name + ": the mould"
	}
	w.Title(title, strings.Join(strings.Fields(p.Job.Aircraft+" "+p.Job.Part), " "))
	for _, chapter := range chapters {
		chapter(w)
	}
	return w.Pages()
}

func (w *writer) cavity() bool {
	return w.plan.Spec.Mould != nil && w.plan.Spec.Mould.Kind == mould.Cavity
}

// boardName is what a board is made of.
func (w *writer) boardName() string {
	if w.build.BoardMaterial == "" {
		return "board"
	}
	return w.build.BoardMaterial
}

// wanted says in a few lines what is built and what it takes.
func (w *writer) wanted() {
	for _, s := range w.said() {
		w.Para(s)
	}
	w.Table(draw.Table{Columns: []draw.Column{{Head: "Have ready", Share: 2.2}, {Head: "How much", Share: 3.4}, {Head: "", Share: 0.5, Align: draw.Centre}}, Rows: w.amounts()})
	w.Callout(true, "Dust, blades and filler", "", "Wood and foam dust harms the lungs and foam dust burns: extract at the tool, wear a mask that fits, no open flame.",
		"Clamp every board before sawing or drilling; keep the other hand behind the blade.", "Polyester filler gives off styrene: fresh air and gloves, and never on bare polystyrene foam, which it eats.")
}

// said is what it is, and how its thickness adds up.
func (w *writer) said() (out []string) {
	b := w.build
	if f := b.Frame; f != nil {
		return []string{fmt.Sprintf("A plug of %s on a spine, sawn from %s %s, under a skin of %s. It stands %s high.",
			fault.Count(len(f.Formers)-1, "station", "stations"), w.length(b.BoardThickness), w.boardName(), w.length(f.Skin), w.length(b.Height))}
	}
	s := b.Stack
	what := fmt.Sprintf("A plug, carved from a stack of %s of %s %s.", fault.Count(b.Boards, "board", "boards"), w.length(b.BoardThickness), w.boardName())
	if w.cavity() {
		what = fmt.Sprintf("A cavity, carved from a block of %s of %s %s, mouth up.", fault.Count(b.Boards, "board", "boards"), w.length(b.BoardThickness), w.boardName())
	} else if s.Boards[0].Number == 0 {
		what += " It stands on a base board, whose upper face is the flange."
	}
	return append(out, what, w.total())
}

// total says how the stack's thickness adds up and how it differs from the shape.
func (w *writer) total() string {
	b, s := w.build, w.build.Stack
	text := fmt.Sprintf("Total thickness: %s × %s and their glue lines make %s.", fault.Count(b.Boards, "board", "boards"), w.length(b.BoardThickness), w.length(s.Total))
	switch {
	case w.cavity():
		return text + fmt.Sprintf(" The hollow is %s deep, so %s of wood stay under it.", w.length(b.Height), w.length(s.Floor))
	case math.Abs(float64(s.Short)) < 0.05e-3:
		return text + fmt.Sprintf(" The shape is as high: %s.", w.length(b.Height))
	case s.Short > 0:
		return text + fmt.Sprintf(" The shape is %s high: the last %s on top are filler.", w.length(b.Height), w.length(s.Short))
	}
	return text + fmt.Sprintf(" The shape is %s high: %s are planed off the last board.", w.length(b.Height), w.length(-s.Short))
}

// amounts lists what is bought.
func (w *writer) amounts() (rows [][]string) {
	b := w.build
	add := func(what, much string, a ...any) {
		rows = append(rows, []string{what, fmt.Sprintf(much, a...), draw.Tick})
	}
	if s := w.plan.Sheets; s != nil && s.Needed > 0 {
		add(w.boardName()+" "+w.length(b.BoardThickness), "%s of %s, %.0f %% used", fault.Count(s.Needed, "sheet", "sheets"), w.size(s.Length, s.Width), 100*s.Use)
	}
	if s := b.Stack; s != nil {
		mass := ""
		if b.BoardMass > 0 {
			mass = ", " + w.kilograms(b.BoardMass)
		}
		add("the stack, before carving", "%s%s; %s come off by carving", litres(b.BoardVolume), mass, litres(s.Carved))
		if b.GlueMass > 0 {
			add("glue", "%s for %.2f m² of joints", w.kilograms(b.GlueMass), float64(s.GlueArea))
		}
		if s.Dowels > 0 {
			add("dowel rod "+w.length(b.Dowel), "%s, %s together", fault.Count(s.Dowels, "piece", "pieces"), w.length(s.DowelLong))
		}
	}
	filler := b.FillerVolume + b.SkimVolume
	parts := []string{litres(b.SkimVolume) + " over the face"}
	if b.FillerVolume > 0 {
		parts = append(parts, litres(b.FillerVolume)+" in the fillets")
	}
	if s := b.Stack; s != nil && s.Top > 0 {
		filler += s.Top
		parts = append(parts, litres(s.Top)+" on top")
	}
	mass := ""
	if b.FillerMass > 0 {
		mass = ", " + w.kilograms(b.FillerMass)
	}
	add("filler", "%s%s: %s; what is sanded off again is not counted", litres(filler), mass, strings.Join(parts, ", "))
	return rows
}

// order is the work, step by step.
func (w *writer) order() {
	w.Heading("Order of the work")
	for i, s := range w.steps() {
		w.Item(fmt.Sprint(i+1), s)
	}
}

func (w *writer) steps() []string {
	b := w.build
	check := "Print the drawings at 100 % or plot the DXF; measure the check square both ways."
	if b.Frame != nil {
		return []string{check,
			"Glue each drawing to its board and saw along the full line. Draw base line and upright line on both faces.",
			"Cut the slots for the board as it is: " + w.length(b.BoardThickness) + " is what the drawings have.",
			"Set the spine upright on a flat base, slide the stations on from above, each at its measure from the datum, square to the spine, and glue.",
			fmt.Sprintf("Cover with strips or foam to %s over the stations, fair it until the templates close, then fill.", w.length(b.Frame.Skin))}
	}
	s := b.Stack
	up := "Spread glue on both faces, slide the board down over the dowels of the one below, datum on datum, and clamp at the edges and in the middle (a weight does) until glue beads all round; wipe it off."
	steps := []string{
		fmt.Sprintf("Measure the boards: the drawings stand on %s. A tenth of a millimetre more or less in each makes %.1f mm in the stack; then write the true measure under mould.build.board and plan again.", mm(float64(b.BoardThickness)), 0.1*float64(b.Boards)),
		check,
		"Glue each drawing to its board, number up. Saw beside the full line, never inside it.",
		fmt.Sprintf("Drill the dowel holes square, %s, through the drawings: full circles through, dashed ones from below to the depth that is written. Carry the datum lines over the edges.", mm(float64(b.Dowel))),
		"Stack the boards dry on their dowels, in the order of the numbers, this side up. The holes do not lie even about the middle: a board that is turned does not fit.",
		up + " Order of gluing: " + w.gluing() + ".",
	}
	if w.cavity() {
		return append(steps, "Carve from the mouth down to the dashed lines; hang the templates in at their stations until they close.",
			"Skim with filler, sand, and check the templates and the gauges again.")
	}
	last := "Carve each board down to its dashed line"
	if s.Short > 0 {
		last += fmt.Sprintf("; filler makes up the last %s on top", w.length(s.Short))
	} else if s.Short < -0.05e-3 {
		last += fmt.Sprintf("; plane %s off the top first", w.length(-s.Short))
	}
	steps = append(steps, last+". The glue lines are contour lines: they run evenly when the shape is fair. Try the templates at their stations, often.")
	if b.FillerVolume > 0 {
		steps = append(steps, "Fill the hollow corners and draw the gauge along them while the filler is soft.")
	}
	return append(steps, "Skim with filler, sand, and check the templates and the gauges again.")
}

// gluing is the order of gluing, in one line.
func (w *writer) gluing() string {
	var names []string
	for _, b := range w.build.Stack.Boards {
		if b.Number == 0 {
			names = append(names, "base")
			continue
		}
		names = append(names, fmt.Sprint(b.Number))
	}
	if n := len(names); n > 12 {
		names = append(append(names[:4], "…"), names[n-1])
	}
	return strings.Join(names, ", ")
}

// framed draws a picture on a ground, as high as asked, under a caption.
func (w *writer) framed(caption string, high float64, items func(box r2.Box) []draw.Item) {
	w.Lead(caption)
	box := w.Room(high)
	w.Draw(draw.Rect(box, draw.Pen{}, draw.Ground))
	w.Draw(items(draw.Inset(box, 3))...)
}
