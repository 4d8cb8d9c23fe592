package mould

import (
	"math"
	"testing"

	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

// Slices stacked again give the body's volume, each board's lower outline is the
// larger on a body that leans in, and the rough boards are rectangles known by hand.
func TestBoardsOfABlock(t *testing.T) {
	t.Parallel()
	r := work(t, read(t, `
mould:
  triangle: "6 mm"
  solids: [{block: {size: {unit: mm, xyz: [120, 80, 54]}, at: {unit: mm, xyz: [0, 0, 0]}, draft: "6 deg"}}]
  flange: "20 mm"
  build: {glue_line: "0 mm", land: "0 mm"}`))
	s := r.Build.Stack
	if r.Build.Boards != 3 || len(s.Boards) != 4 || s.Boards[0].Number != 0 {
		t.Fatalf("%d boards of %d, the first is %d", r.Build.Boards, len(s.Boards), s.Boards[0].Number)
	}
	near(t, "stacked volume", float64(s.Restacked), volume(r), 1e-4)
	var boards, sawn float64
	for i := range 3 {
		b := s.Boards[i+1]
		foot, head := b.Levels[0].Cut[0].Area(), b.Levels[len(b.Levels)-1].Cut[0].Area()
		if foot <= head {
			t.Errorf("board %d: foot %g, head %g: the body widens", i+1, foot, head)
		}
		less := 2 * float64(i) * 0.018 * math.Tan(6*math.Pi/180)
		boards += (0.13 - less) * (0.09 - less) * 0.018
		// 1 mm left for the saw, round its corners
		sawn += ((0.122-less)*(0.082-less) - (4-math.Pi)*1e-6) * 0.018
	}
	near(t, "board volume", float64(r.Build.BoardVolume), boards, 1e-3)
	near(t, "sawn volume", float64(s.Sawn), sawn, 1e-3)
	near(t, "carved off", float64(s.Carved), sawn-volume(r), 1e-3)
	near(t, "base board", float64(s.Boards[0].Pieces[0].Area), 0.12*0.08+0.02*(0.24+0.16)+math.Pi*4e-4, 2e-3)
	// The middle station is the block's cross-section.
	for _, c := range r.Build.Templates {
		if c.Axis == "x" && c.At == 0 {
			near(t, "middle station", c.Section[0].Area(), 0.054*(0.08-0.054*math.Tan(6*math.Pi/180)), 2e-3)
		}
	}
}

// A block of 55 mm from boards of 18 mm: three and their glue lines are 0.4 mm
// short, which filler makes up; from boards of 20 mm three are planed by 5.6 mm.
func TestStackAgainstHeight(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		board  float64
		boards int
		short  float64
	}{{18e-3, 3, 0.4e-3}, {20e-3, 3, -5.6e-3}, {17e-3, 4, -13.8e-3}} {
		in := read(t, `
mould:
  triangle: "8 mm"
  solids: [{block: {size: {unit: mm, xyz: [120, 80, 55]}, at: {unit: mm, xyz: [0, 0, 0]}, draft: "6 deg"}}]
  flange: "20 mm"`)
		in.Mould.Build = &BuildSpec{Board: si.Length(c.board)}
		r := work(t, in)
		if r.Build.Boards != c.boards || math.Abs(float64(r.Build.Stack.Short)-c.short) > 1e-6 {
			t.Errorf("boards of %g mm: %d, short by %.3f mm", 1e3*c.board, r.Build.Boards, 1e3*r.Build.Stack.Short)
		}
	}
}

// A cavity is carved from a block with the hollow in it: what comes off and what
// stays add up to the block.
func TestCavityIsCarved(t *testing.T) {
	t.Parallel()
	in := read(t, `
mould:
  kind: cavity
  triangle: "6 mm"
  solids: [{cone: {diameter: "160 mm", top: "100 mm", height: "60 mm", at: {unit: mm, xyz: [0, 0, 0]}}}]
  flange: "25 mm"
  build: {wall: "30 mm", glue_line: "0 mm"}`)
	in.Materials = []Material{{"board", material.MouldMaterial{Board: material.Exactly(si.Length(0.02))}}}
	r := work(t, in)
	s := r.Build.Stack
	hollow := math.Pi * 0.06 / 3 * (0.08*0.08 + 0.08*0.05 + 0.05*0.05)
	near(t, "hollow", float64(r.Build.Volume), hollow, 2e-3)
	near(t, "restacked", float64(s.Restacked), hollow, 5e-3)
	// Block of 220 mm square, five boards: 60 mm of hollow and 30 mm of floor and more.
	if r.Build.Boards != 5 || math.Abs(float64(s.Total)-0.1) > 1e-9 || math.Abs(float64(s.Floor)-0.04) > 1e-6 {
		t.Errorf("%d boards, %.1f mm, floor %.1f mm", r.Build.Boards, 1e3*s.Total, 1e3*s.Floor)
	}
	near(t, "block less hollow", float64(s.Sawn-s.Carved), 0.22*0.22*0.1-hollow, 1e-3)
	// The floor's boards are whole, the topmost has the widest hole but for the saw's millimetre.
	first, last := s.Boards[0], s.Boards[4]
	if len(first.Pieces[0].Outline.Holes) != 0 || len(last.Pieces[0].Outline.Holes) != 1 {
		t.Fatal("holes are in the wrong boards")
	}
	r1 := 0.08 - 0.03*20/60 - 1e-3 // at the foot of the topmost board
	near(t, "hole", math.Abs(last.Pieces[0].Outline.Holes[0].Area()), math.Pi*r1*r1, 2e-3)
	if len(last.Holes) < 2 {
		t.Error("no dowels in a wall of 30 mm and more")
	}
}
