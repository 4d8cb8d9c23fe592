package outlines

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// group is one pair of a DXF file: what its value is, and the value.
type group struct {
	code  int
	value string
	line  int
}

// entity is one thing drawn: a vertex of an old polyline is a thing of its own.
type entity struct {
	kind   string
	line   int
	groups []group
}

// block is a drawing to be inserted, with its base point.
type block struct {
	baseX, baseY float64
	entities     []entity
}

// dxfUnits are the metres of $INSUNITS. Source: [dxf2012]
var dxfUnits = map[int]float64{1: 0.0254, 2: 0.3048, 4: 1e-3, 5: 1e-2, 6: 1, 8: 25.4e-9, 9: 25.4e-6, 10: 0.9144, 13: 1e-6, 14: 0.1}

// readDXF reads a drawing in text form, of any release.
func readDXF(r io.Reader, o Options) (d drawn, err error) {
	groups, err := groupsOf(r)
	if err != nil {
		return d, err
	}
	unit := o.Unit
	if unit == 0 {
		if unit, err = insUnit(groups); err != nil {
			return d, err
		}
	}
	x := &dxfReader{blocks: map[string]block{}, hidden: map[string]bool{}, out: &d}
	top := x.sections(groups)
	return d, x.draw(top, scale(unit, unit), "", 0)
}

// groupsOf splits the file into its pairs of lines.
func groupsOf(r io.Reader) (out []group, err error) {
	const longest = 1 << 20
	s := bufio.NewScanner(r)
	s.Buffer(make([]byte, 0, 64<<10), longest)
	for n := 1; s.Scan(); n += 2 {
		text := strings.TrimSpace(s.Text())
		if n == 1 {
			text = strings.TrimPrefix(text, "\ufeff")
		}
		if strings.HasPrefix(text, "AutoCAD Binary DXF") {
			return nil, errors.New("is in binary form; save it as DXF in text (ASCII)")
		}
		code, err := strconv.Atoi(text)
		if err != nil {
			return nil, fmt.Errorf("line %d: a group code is expected, not %q; save the drawing as DXF in text", n, short(text))
		}
		if !s.Scan() {
			return nil, fmt.Errorf("line %d: the file ends within a group; save it again", n)
		}
		out = append(out, group{code, strings.TrimSpace(s.Text()), n + 1})
	}
	if err := s.Err(); err != nil {
		return nil, err
	}
	if len(out) == 0 {
		return nil, errors.New("is empty")
	}
	if last := out[len(out)-1]; last.code != 0 || last.value != "EOF" {
		return nil, fmt.Errorf("line %d: the file ends without its EOF: a part of it is missing; copy or save it again", last.line)
	}
	return out, nil
}

func short(s string) string {
	if len(s) > 20 {
		return s[:20] + "…"
	}
	return s
}

// insUnit is what the file says of its unit.
func insUnit(groups []group) (float64, error) {
	ask := errors.New("says no unit; write unit: mm, in or what it was drawn in")
	for i, g := range groups {
		if g.code != 9 || g.value != "$INSUNITS" || i+1 == len(groups) {
			continue
		}
		n, err := strconv.Atoi(groups[i+1].value)
		if err != nil || n == 0 {
			return 0, ask
		}
		if unit, ok := dxfUnits[n]; ok {
			return unit, nil
		}
		return 0, fmt.Errorf("line %d: $INSUNITS is %d, no unit that cloth is cut in; write unit: mm, in or what it was drawn in", groups[i+1].line, n)
	}
	return 0, ask
}

type dxfReader struct {
	blocks map[string]block
	hidden map[string]bool // layers that are off or frozen, in small letters
	out    *drawn
}

// sections keeps the blocks and the hidden layers and returns what is drawn outside
// blocks.
func (x *dxfReader) sections(groups []group) (top []entity) {
	section, in := "", ""
	for i := 0; i < len(groups); {
		g := groups[i]
		j := i + 1
		for j < len(groups) && groups[j].code != 0 {
			j++
		}
		e := entity{kind: g.value, line: g.line, groups: groups[i+1 : j]}
		i = j
		switch {
		case g.code != 0: // before the first thing
		case g.value == "SECTION":
			section = e.text(2, "")
		case g.value == "ENDSEC":
			section = ""
		case section == "TABLES" && g.value == "LAYER":
			x.hidden[strings.ToLower(e.text(2, ""))] = e.number(62, 7) < 0 || e.int(70)&1 != 0
		case section == "BLOCKS" && g.value == "BLOCK":
			in = e.text(2, "")
			x.blocks[in] = block{baseX: e.number(10, 0), baseY: e.number(20, 0)}
		case section == "BLOCKS" && g.value == "ENDBLK":
			in = ""
		case section == "BLOCKS" && in != "":
			b := x.blocks[in]
			b.entities = append(b.entities, e)
			x.blocks[in] = b
		case section == "ENTITIES":
			top = append(top, e)
		}
	}
	return top
}

// text is the first value of a code.
func (e entity) text(code int, without string) string {
	for _, g := range e.groups {
		if g.code == code {
			return g.value
		}
	}
	return without
}

// number is the first value of a code; NaN where it is none, which [drawn.add] tells.
func (e entity) number(code int, without float64) float64 {
	for _, g := range e.groups {
		if g.code == code {
			return parsed(g.value)
		}
	}
	return without
}

func parsed(text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

func (e entity) int(code int) int { return int(e.number(code, 0)) }

// place tells a person where the thing stands.
func (e entity) place() string { return fmt.Sprintf("line %d, %s", e.line, e.kind) }
