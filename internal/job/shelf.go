package job

import (
	"fmt"
	"strconv"
	"strings"

	"laywright/internal/base/bind"
	"laywright/internal/stage/nest"
)

// ReadShelf reads a list of stock, as [Plan.Shelf] writes it:
//
//	stock:
//	  - {name: DN-21-004-1, material: carbon-twill-200, lot: A41, outline: {unit: mm, points: [[0, 0], ...]}}
//	  - {name: roll 2, material: carbon-twill-200, lot: A52, width: "1270 mm", length: "6.2 m"}
func ReadShelf(source []byte) ([]nest.StockSpec, []bind.Problem) {
	root, problems := bind.Parse(source)
	if root == nil {
		return nil, problems
	}
	b := bind.New()
	var shelf struct {
		Stock []nest.StockSpec `yaml:"stock"`
	}
	b.Into(&shelf, "", root)
	bind.Sort(b.Problems)
	return shelf.Stock, b.Problems
}

// Shelf is what cloth is in the shop once this job is cut, as a file for the next job's
// roll.shelf; empty where nothing is.
func (p Plan) Shelf() string {
	if p.Roll == nil || len(p.Roll.Shelf) == 0 {
		return ""
	}
	var out strings.Builder
	out.WriteString("# What is left in the shop once this job is cut. x runs along the warp.\nstock:\n")
	for _, s := range p.Roll.Shelf {
		fmt.Fprintf(&out, "  - name: %s\n", strconv.Quote(s.Name))
		for _, line := range [][2]string{{"material", s.Material}, {"lot", s.Lot}} {
			if line[1] != "" {
				fmt.Fprintf(&out, "    %s: %s\n", line[0], strconv.Quote(line[1]))
			}
		}
		if s.Outline != nil {
			fmt.Fprintf(&out, "    outline: %s\n", points(s.Outline))
		} else {
			fmt.Fprintf(&out, "    width: \"%.1f mm\"\n    length: \"%.1f mm\"\n", 1e3*float64(s.Width), 1e3*float64(s.Length))
		}
		for i, d := range s.Defects {
			if i == 0 {
				out.WriteString("    defects:\n")
			}
			fmt.Fprintf(&out, "      - outline: %s\n", points(d))
		}
	}
	return out.String()
}

// points writes an outline to a tenth of a millimetre.
func points(p [][2]float64) string {
	all := make([]string, len(p))
	for i, v := range p {
		all[i] = fmt.Sprintf("[%.1f, %.1f]", 1e3*v[0]+0, 1e3*v[1]+0)
	}
	return "{unit: mm, points: [" + strings.Join(all, ", ") + "]}"
}
