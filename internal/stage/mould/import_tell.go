package mould

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/scan"
)

// Repair is one thing that was done to an imported mesh.
type Repair struct {
	What  string    `json:"what"`
	Count int       `json:"count"`
	At    []float64 `json:"at_m"`              // the first place, or where it moved most
	Moved si.Length `json:"moved_m,omitempty"` // most that a place of the surface moved
	Area  si.Area   `json:"area_m2,omitempty"` // added, or taken off where negative
}

// Recut tells how an imported mesh was covered with other triangles.
type Recut struct {
	Side   si.Length `json:"side_m"`
	Was    int       `json:"triangles_before"`
	Off    si.Length `json:"off_m"`              // most that the new surface stands off the given one
	Back   si.Length `json:"back_m"`             // most that the given surface stands off the new one
	Radius si.Length `json:"radius_m,omitempty"` // the bend that set the side
}

// SolidShape is an imported surface made into a solid.
type SolidShape struct {
	Volume    si.Volume  `json:"volume_m3"`
	Triangles int        `json:"triangles"`
	Mesh      *mesh.Mesh `json:"-"`
}

// imported fills in and says what was done to the mesh and what remains to see to.
func (r *Result) imported(s *Spec, k scan.Taken) {
	r.Hand = "as drawn"
	if k.Mirrored {
		r.Hand = "mirrored"
		r.find(fault.Note, "mesh-mirrored", fmt.Sprintf("The part is of the other hand than %s: the mesh was mirrored across %s.", s.File, s.Import.Mirror),
			"left and right parts look alike on the bench", "Mark the mould and every piece with its hand.")
	}
	for _, one := range k.Repairs {
		r.Repairs = append(r.Repairs, Repair{What: one.What, Count: one.Count, At: []float64{one.At.X, one.At.Y, one.At.Z}, Moved: si.Length(one.Moved), Area: si.Area(one.Area)})
	}
	if n := len(k.Repairs); n > 0 {
		worst := k.Repairs[0]
		for _, one := range k.Repairs {
			if one.Moved > worst.Moved {
				worst = one
			}
		}
		moved := "nothing moved"
		if worst.Moved > 0 {
			moved = fmt.Sprintf("nothing moved by more than %.3g mm, at %s", 1e3*worst.Moved, placeText(worst.At))
		}
		r.find(fault.Note, "mesh-mended", fmt.Sprintf("%s was worked on in %d ways, listed under mould.repairs; %s.", s.File, n, moved),
			"drawing programs and scanners leave flaws, and what was done to them must be seen", "Read the list, and look at the picture of the mould.")
	}
	r.tellFilled(s, k)
	r.tellOpen(s, k)
	r.tellCrossing(s, k)
	r.tellSmooth(k)
	if c := k.Recut; c != nil {
		r.Recut = &Recut{Side: si.Length(c.Side), Was: c.Was, Off: si.Length(c.Off), Back: si.Length(c.Back), Radius: si.Length(c.Bend)}
	}
}

// againstPull is the share of an open surface's area that must look against the
// given pull, on balance, for it to be taken for inside out.
const againstPull = 0.3

// turnToPull turns an open surface over that looks against the way the part comes
// off, which a file can't tell: a closed one has an outside of its own.
func (r *Result) turnToPull(s *Spec, k *scan.Taken) {
	if k.Closed || s.Pull == nil {
		return
	}
	var sum r3.Vec
	for f := range k.Mesh.Triangles {
		sum = r3.Add(sum, k.Mesh.AreaVector(f))
	}
	look := r3.Dot(sum, pullOf(s)) / k.Mesh.Area()
	if s.Kind == Cavity {
		look = -look // its free side is the mesh's inside
	}
	if look > -againstPull {
		return
	}
	k.Mesh = k.Mesh.Flipped()
	at := k.Mesh.Centroid(0)
	r.Repairs = append(r.Repairs, Repair{What: "surface turned over, as it looked against the pull", Count: 1, At: []float64{at.X, at.Y, at.Z}})
	r.find(fault.Caution, "mesh-turned", s.File+" looked against the pull and was turned over.", "an open surface doesn't say which side is out", "Look at the picture of the mould; if the cloth goes on the other side, turn mould.pull round.")
}

func (r *Result) tellFilled(s *Spec, k scan.Taken) {
	area, first := 0.0, -1
	for f, is := range k.Filled {
		if !is {
			continue
		}
		if area += k.Mesh.FaceArea(f); first < 0 {
			first = f
		}
	}
	if first < 0 {
		return
	}
	a := si.Area(area)
	r.FilledArea = &a
	share := 100 * area / k.Mesh.Area()
	r.findAgainst(fault.Finding{Severity: fault.Note, Code: "mesh-filled",
		What: fmt.Sprintf("%.1f cm² of %s were never measured: holes filled smoothly, the first at %s.", 1e4*area, s.File, placeText(k.Mesh.Centroid(first))),
		Why:  "a fill goes over into its surroundings, but what lay there is a guess", Do: "Check the filled places, tagged filled in meshes/mould.vtk, with a straightedge or a template."}, share, 100, "%")
}

// mostOpen is how many open holes are told singly.
const mostOpen = 3

func (r *Result) tellOpen(s *Spec, k scan.Taken) {
	if thick := s.Import != nil && s.Import.Thicken != nil; !k.Closed && !thick {
		r.find(fault.Note, "mesh-open", fmt.Sprintf("%s is an open surface with %d rims, so it has no volume.", s.File, k.Rims), "the rims are taken for edges of the part", "Write mould.import with fill: and a width to close holes, or thicken: to make a solid of it.")
	}
	if s.Import == nil || s.Import.Fill == 0 {
		return
	}
	for i, h := range k.Holes {
		if i == mostOpen {
			break
		}
		r.findAgainst(fault.Finding{Severity: fault.Caution, Code: "mesh-hole", What: fmt.Sprintf("A hole %.0f mm wide at %s stays open.", 1e3*h.Wide, placeText(h.At)),
			Why: h.Why, Do: "Fill it with a larger mould.import.fill, scan the place again, or leave it if it belongs to the part."}, 1e3*h.Wide, 1e3*float64(s.Import.Fill), "mm")
	}
}

func (r *Result) tellCrossing(s *Spec, k scan.Taken) {
	switch n := len(k.Crossing); {
	case n > 0:
		r.findAgainst(fault.Finding{Severity: fault.Stop, Code: "mesh-crosses", What: fmt.Sprintf("%s runs through itself at %s; %d pairs of triangles cross.", s.File, placeText(k.Crossing[0].At), n),
			Why: "cloth can't be laid through a wall, and no mould has that shape", Do: "Mend it where it was drawn; a few crossings are cut out and closed by mould.import with fill: and a width."}, float64(n), 0, "")
	case k.Uneasy:
		r.find(fault.Caution, "mesh-crosses-unknown", fmt.Sprintf("Whether %s runs through itself was not wholly checked.", s.File), "too many of its triangles lie over each other", "Thin it out with mould.import and triangles: auto.")
	}
}

func (r *Result) tellSmooth(k scan.Taken) {
	const many = 0.01
	if q := k.Smooth; q != nil && q.AtLimit > many {
		r.findAgainst(fault.Finding{Severity: fault.Caution, Code: "mesh-noisy", What: fmt.Sprintf("%.0f %% of the vertices would have moved by more than mould.import.smooth allows.", 100*q.AtLimit),
			Why: "the scan is rougher than that, so some of its noise stays", Do: "Allow more, or scan again."}, 100*q.AtLimit, 100*many, "%")
	}
}

// doubtSize asks about the unit of a mesh that is far from a part's size.
func (r *Result) doubtSize(s *Spec, m *mesh.Mesh) {
	box := m.Bounds()
	d := r3.Sub(box.Max, box.Min)
	if s.Import != nil && s.Import.Scale > 0 {
		d = r3.Scale(s.Import.Scale, d)
	}
	size, limit := r3.Norm(d), scan.Least
	if size >= scan.Least && size <= scan.Most {
		return
	}
	if size > scan.Most {
		limit = scan.Most
	}
	unit, do := s.Unit, "Look up the unit that the mesh was drawn in and write it as mould.unit."
	if unit == "" {
		unit = "the file's own unit"
	} else if own, err := si.Size(unit, si.Length(0).Kind()); err == nil {
		if likely := scan.Likely(size / own); len(likely) > 0 {
			do = fmt.Sprintf("Write mould.unit: %s if it was drawn in that; it would then measure %s.", likely[0].Name, scan.Measures(r3.Scale(likely[0].Size/own, d)))
		}
	}
	r.findAgainst(fault.Finding{Severity: fault.Caution, Code: "mesh-size",
		What: fmt.Sprintf("Is the unit right? In %s, %s is %.4g x %.4g x %.4g mm.", unit, s.File, 1e3*d.X, 1e3*d.Y, 1e3*d.Z),
		Why:  "a mesh file rarely says its unit, and parts this small or large are rarely laid up by hand", Do: do}, 1e3*size, 1e3*limit, "mm")
}

// thicken makes a solid of the face where the job asks for one.
func (r *Result) thicken(s *Spec, pull r3.Vec) error {
	if s.Import == nil || s.Import.Thicken == nil {
		return nil
	}
	k := s.Import.Thicken
	if (k.Base > 0) == (k.Shell > 0) || k.Base < 0 || k.Shell < 0 {
		return &fault.Input{Field: "mould.import.thicken", What: "a surface is thickened to a plug or to a shell", Do: "write one of base: and shell:, with a length"}
	}
	if *r.Closed {
		return &fault.Input{Field: "mould.import.thicken", What: s.File + " is closed, so it is a solid already", Do: "take the line out"}
	}
	solid, err := scan.Thicken(r.Face, scan.Thick{Shell: float64(k.Shell), Base: float64(k.Base), Up: pull})
	if err != nil {
		return err
	}
	volume, closed := si.Volume(solid.Volume), true
	r.Volume, r.Closed = &volume, &closed
	r.Body = &SolidShape{Volume: volume, Triangles: len(solid.Mesh.Triangles), Mesh: solid.Mesh}
	switch wanted := float64(k.Shell); {
	case len(solid.Folds) > 0:
		f := solid.Folds[0]
		r.find(fault.Caution, "shell-folds", fmt.Sprintf("The shell's back runs through itself at %s, over %d triangles.", placeText(f.At), f.Count),
			"two walls stand nearer than the shell is thick, or a bulge is tighter", "Write a thinner shell, or a plug with base:, or round the edge.")
	case solid.Least < thinShell*wanted:
		r.findAgainst(fault.Finding{Severity: fault.Note, Code: "shell-thin", What: fmt.Sprintf("The shell is %.1f mm thick at %s, less than elsewhere.", 1e3*solid.Least, placeText(solid.Thin)),
			Why: "behind an edge or a tight bulge there is less room for its back", Do: "Back it up there with filler, or write a thinner shell."}, 1e3*solid.Least, 1e3*wanted, "mm")
	}
	return nil
}

// thinShell is the share of the thickness below which a shell is called thin.
const thinShell = 0.9
