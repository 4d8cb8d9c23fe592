package release

import (
	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

// Input is a part on its mould.
type Input struct {
	Part   *mesh.Mesh                   // the laminated surface
	Body   *mesh.Mesh                   // the mould's face, turned as the part; nil: the part alone
	Normal func(f int, p r3.Vec) r3.Vec // the true normal at a place of the part's triangle f; nil: from the triangles
	Pull   r3.Vec                       // the pull to judge, a unit vector
	Cavity bool
	Share  float64 // of the area, that is left out of the least draft: single facets of a scan say little

	Chord float64 // m, that sides of triangles stand off the true surface at most; 0: not known

	OnePiece bool      // the part may not be cut
	Flange   si.Length // of a split; 0: usual
	Split    bool      // look for splits even where one pull does
	Lost     Lost      // how the plug's material is lost
	Wall     *Wall     // nil: not known
	Heat     *Heat     // nil: not known
}

// Result is how part and mould come apart.
type Result struct {
	Judged    Pull      `json:"-"`
	Better    *Pull     `json:"better,omitempty"` // another pull that is clearly better
	Areas     []Area    `json:"areas,omitempty"`
	Mould     *Split    `json:"split_mould,omitempty"`         // the mould in pieces, the part whole
	Part      *Split    `json:"split_part,omitempty"`          // the part in pieces, joined afterwards
	MouldLeft *si.Area  `json:"split_mould_left_m2,omitempty"` // what the best split of the mould would leave locked, where none does
	PartLeft  *si.Area  `json:"split_part_left_m2,omitempty"`
	Openings  []Opening `json:"openings,omitempty"`
	Lost      *LostPlug `json:"lost_plug,omitempty"`
	Core      *Core     `json:"core,omitempty"`
	Grip      *Grip     `json:"grip,omitempty"`
	Force     *Force    `json:"force,omitempty"`
}

// Work judges the pull that is given, and where it does not do finds what does.
func Work(in Input) (Result, error) {
	t, err := mesh.NewTopology(in.Part)
	if err != nil {
		return Result{}, err
	}
	s := newSurface(in, t)
	r := Result{Judged: s.pull(partMoves, in.Pull)}
	r.Areas = s.areas(t, r.Judged)
	r.Better = s.better(r.Judged)
	if in.Split || !r.Judged.Free() && (r.Better == nil || !r.Better.Free()) {
		r.part(s, t)
	}
	r.hold(s)
	return r, nil
}

// part finds the ways to part what one pull does not free.
func (r *Result) part(s *surface, t *mesh.Topology) {
	if r.Openings = openings(t); s.in.Cavity || len(r.Openings) > 0 {
		r.Mould, r.MouldLeft = s.way(TheMould)
	}
	if !s.in.Cavity {
		r.Lost = lostThrough(s.in.Lost, r.Openings)
		r.Core = core(r.Areas, r.Openings)
	}
	if !s.in.OnePiece {
		r.Part, r.PartLeft = s.way(ThePart)
	}
}

func (s *surface) way(of Of) (*Split, *si.Area) {
	found, left := s.split(of)
	if found == nil {
		return nil, &left
	}
	found.Joint = s.joint(*found)
	return found, nil
}

// hold works out grip and force along the judged pull.
func (r *Result) hold(s *surface) {
	var w Wall
	var g Grip
	if s.in.Wall != nil && s.in.Heat != nil {
		if over := s.across(s.in.Pull); over > 0 {
			w, g = *s.in.Wall, grip(over, s.in.Cavity, *s.in.Wall, *s.in.Heat)
			r.Grip = &g
		}
	}
	if !r.Judged.Free() {
		return
	}
	if f := s.force(r.Judged, w, g); f.High > 0 {
		r.Force = &f
	}
}
