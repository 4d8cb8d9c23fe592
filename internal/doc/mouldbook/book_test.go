package mouldbook

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"laywright/internal/doc/draw"
	"laywright/internal/doc/pattern"
	"laywright/internal/job"
	"laywright/internal/job/jobtest"
)

// jobs are a plug with two towers, a cavity and a plug on stations.
var jobs = map[string]string{
	"towers": `
laywright: 1
job: {name: Towers, part: W-1}
show: us
mould:
  solids:
    - block: {size: {unit: mm, xyz: [300, 220, 40]}, at: {unit: mm, xyz: [0, 0, 0]}, draft: "6 deg"}
    - block: {size: {unit: mm, xyz: [90, 100, 50]}, at: {unit: mm, xyz: [-80, 0, 35]}, draft: "6 deg"}
    - block: {size: {unit: mm, xyz: [80, 90, 50]}, at: {unit: mm, xyz: [80, 0, 35]}, draft: "6 deg"}
  triangle: "14 mm"
  flange: "30 mm"
  materials: [birch-ply, polyester-filler]`,
	"cavity": `
laywright: 1
job: {name: Tray}
mould:
  kind: cavity
  solids: [{block: {size: {unit: mm, xyz: [150, 240, 50]}, at: {unit: mm, xyz: [0, 0, 0]}, draft: "8 deg"}}]
  triangle: "14 mm"
  flange: "20 mm"
  materials: [mdf]`,
	"stations": `
laywright: 1
job: {name: Nose}
mould:
  solids: [{blister: {length: "500 mm", width: "220 mm", height: "90 mm"}}]
  triangle: "20 mm"
  build: {from: stations, board: "9 mm", every: "80 mm"}
  materials: [birch-ply]`,
}

func plan(t *testing.T, source string) job.Plan {
	t.Helper()
	return jobtest.Plan(t, source, nil)
}

// The book keeps within its pages on both papers, and says each piece and each
// drawing that is to be sawn by its name.
func TestBookHoldsItsPages(t *testing.T) {
	for name, source := range jobs {
		p := plan(t, source)
		for _, sheet := range []draw.Sheet{draw.A4(), draw.Letter()} {
			var text []string
			for i, page := range Pages(p, sheet) {
				for _, it := range page.Layer(draw.Paper) {
					b := it.Bounds()
					if b.Min.X < 5 || b.Min.Y < 5 || b.Max.X > sheet.W-5 || b.Max.Y > sheet.H-5 {
						t.Errorf("%s on %s, page %d: %T at %v leaves the page", name, sheet.Name, i+1, it, b)
					}
					if w, ok := it.(draw.Text); ok {
						text = append(text, w.String)
					}
				}
			}
			for _, piece := range Pieces(p) {
				want := piece.File
				if after, ok := strings.CutPrefix(want, "board-"); ok {
					want = after
				}
				if strings.HasPrefix(want, "station-") || want == "spine" {
					continue // told by the drawing and the sheet
				}
				if !slices.Contains(text, want) {
					t.Errorf("%s on %s does not name %s", name, sheet.Name, want)
				}
			}
		}
	}
}

// Every piece can be drawn, carries its number and its datum lines, and towers have
// pieces of their own.
func TestPiecesCarryTheirNumbers(t *testing.T) {
	for name, source := range jobs {
		p := plan(t, source)
		files := map[string]bool{}
		for _, piece := range Pieces(p) {
			if files[piece.File] {
				t.Errorf("%s: %s is there twice", name, piece.File)
			}
			files[piece.File] = true
			page, err := pattern.BoardSheet(piece.Board)
			if err != nil {
				t.Fatal(name, piece.File, err)
			}
			found := piece.Board.Number == ""
			for _, it := range page.Layer(draw.Words) {
				w, ok := it.(draw.Text)
				found = found || ok && w.String == piece.Board.Number
			}
			if !found {
				t.Errorf("%s: %s does not carry %q", name, piece.File, piece.Board.Number)
			}
			if !strings.HasPrefix(piece.File, "gauge") && len(page.Layer(pattern.DatumLayer)) != 2 {
				t.Errorf("%s: %s has no datum lines", name, piece.File)
			}
		}
		want := map[string]string{"towers": "board-04b", "cavity": "template-long", "stations": "spine"}[name]
		if !files[want] {
			t.Errorf("%s: no %s among %s", name, want, fmt.Sprint(files))
		}
	}
}
