package job_test

import (
	"math"
	"strings"
	"testing"
)

// blockJob is a block without lean, of five boards of 302 by 202 mm with the saw's
// millimetre.
const blockJob = `
laywright: 1
job: {seed: 1}
mould:
  solids: [{block: {size: {unit: mm, xyz: [300, 200, 90]}, at: {unit: mm, xyz: [0, 0, 0]}}}]
  build: {board: "18 mm", glue_line: "0 mm", saw: "1 mm", gap: "6 mm", sheet: {length: "650 mm", width: "450 mm"}}
  materials: [mdf]
`

// Four of them lie on a sheet of 650 by 450 mm (302 + 6 + 302 = 610, 202 + 6 + 202 =
// 410), the fifth on another.
func TestBoardsOnSheets(t *testing.T) {
	p := mustMake(t, blockJob)
	s := p.Sheets
	if s == nil || s.Needed != 2 || len(s.Sheets) != 2 || len(s.TooLarge) != 0 {
		t.Fatalf("sheets %+v", s)
	}
	if n := len(s.Sheets[0].Placements); n != 4 {
		t.Errorf("%d on the first sheet", n)
	}
	piece := 0.302*0.202 - (4-math.Pi)*1e-6
	if want := 5 * piece / (2 * 0.65 * 0.45); math.Abs(s.Use/want-1) > 1e-4 {
		t.Errorf("use %.4f, want %.4f", s.Use, want)
	}
}

// A grain keeps its way: boards lie crosswise in turn, so that only three and two
// of them go on the sheets.
func TestBoardsKeepTheirGrain(t *testing.T) {
	p := mustMake(t, strings.Replace(blockJob, "[mdf]", "[birch-ply]", 1))
	for _, sheet := range p.Sheets.Sheets {
		for _, at := range sheet.Placements {
			odd := at.Piece == "01" || at.Piece == "03" || at.Piece == "05"
			if along := math.Abs(math.Sin(float64(at.Turn))) < 1e-9; along != odd {
				t.Errorf("piece %s is turned by %.0f deg", at.Piece, at.Turn.Degrees())
			}
		}
	}
}

// A piece that no sheet gives whole is named, and the others are laid.
func TestBoardTooLarge(t *testing.T) {
	p := mustMake(t, strings.Replace(blockJob, `length: "650 mm"`, `length: "290 mm"`, 1)+"part: {trim: whole}\n")
	if len(p.Sheets.TooLarge) != 0 { // 450 mm wide: they lie across
		t.Fatalf("too large: %v", p.Sheets.TooLarge)
	}
	p = mustMake(t, strings.Replace(blockJob, `length: "650 mm", width: "450 mm"`, `length: "290 mm", width: "290 mm"`, 1))
	if len(p.Sheets.TooLarge) != 5 || p.Sheets.Needed != 0 {
		t.Errorf("too large: %v", p.Sheets.TooLarge)
	}
	found := 0
	for _, f := range p.Findings {
		if f.Code == "board-too-large" {
			found++
		}
	}
	if found != 5 {
		t.Errorf("%d findings", found)
	}
}
