package laminate

import (
	"fmt"
	"math"
	"slices"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/base/wall"
)

// Design works the stack out: each layer from its records, then the wall, then
// what the line load does to it.
func Design(in Input) (Result, error) {
	var r Result
	if err := check(in.Spec); err != nil {
		return r, err
	}
	d := designer{in}
	var err error
	if r.Layers, err = d.layers(); err != nil {
		return r, err
	}
	r.weigh()
	r.FibreShare = shares(r.Layers)
	if err := r.stiffen(); err != nil {
		return r, err
	}
	if in.Spec.Load != nil {
		r.respond(in.Spec.Load.wall())
	}
	r.note(in.Spec)
	return r, nil
}

func check(s Spec) error {
	if err := s.Choice.Check(s.Stack.Given); err != nil {
		return err
	}
	if s.Method != "" && s.Method != HalpinTsai && s.Method != Chamis {
		return &fault.Input{Field: "laminate.micromechanics", What: fmt.Sprintf("%q is no method known here", s.Method), Do: "write halpin-tsai or chamis"}
	}
	// The section's own numbers are checked even where every line has its own.
	if s.FibreFraction != nil {
		if err := checkFraction("laminate.fibre_fraction", *s.FibreFraction); err != nil {
			return err
		}
	}
	if s.ResinRatio != nil {
		if err := checkRatio("laminate.resin_ratio", *s.ResinRatio); err != nil {
			return err
		}
	}
	if s.Load == nil {
		return nil
	}
	const most = 1e9 // N/m, N: no wall of this world; NaN fails as well
	for _, x := range []struct {
		key   string
		value float64
	}{{"Nx", float64(s.Load.Nx)}, {"Ny", float64(s.Load.Ny)}, {"Nxy", float64(s.Load.Nxy)},
		{"Mx", float64(s.Load.Mx)}, {"My", float64(s.Load.My)}, {"Mxy", float64(s.Load.Mxy)}} {
		if err := fault.Check("laminate.load."+x.key, x.value, -most, most, "", "more than any wall bears"); err != nil {
			return err
		}
	}
	return fault.Check("laminate.load.dT", float64(s.Load.DT), -500, 500, " K", "no resin here lives through more")
}

// weigh adds up thickness and mass, doublers left out, and lists the plies.
func (r *Result) weigh() {
	var mass si.ArealMass
	known := true
	for _, l := range r.Layers {
		if !l.Doubler() {
			r.Thickness += l.Thickness
			r.Fibre += l.Fibre
			r.Resin += l.Resin
			mass += l.ArealMass()
		}
		known = known && l.MassKnown
		p := PlyResult{Name: l.Name, Kind: l.Kind, Angle: l.Angle, Thickness: l.Thickness, FibreFraction: l.FibreFraction, Doubler: l.Doubler()}
		if l.Elastic != nil {
			nu := l.Elastic.Nu12
			p.E1, p.E2, p.G12, p.Nu12 = l.Elastic.E1, l.Elastic.E2, l.Elastic.G12, &nu
		}
		r.Plies = append(r.Plies, p)
	}
	if known {
		r.ArealMass = &mass
	}
}

// Walls returns the layers that lie everywhere as plies of a wall, and the place of each
// among all layers.
func (r *Result) Walls() (plies []wall.Ply, of []int) {
	for i, l := range r.Layers {
		if !l.Doubler() {
			plies, of = append(plies, l.Ply), append(of, i)
		}
	}
	return plies, of
}

func (r *Result) stiffen() error {
	for _, l := range r.Layers {
		if l.Elastic == nil {
			return nil
		}
	}
	plies, _ := r.Walls()
	w, err := wall.Stiffen(plies)
	if err != nil {
		return fmt.Errorf("laminate.stack: %w", err)
	}
	plane, bend := w.Membrane(), w.Bending()
	r.Stiff, r.A, r.B, r.D = &w, &w.A, &w.B, &w.D
	r.Ex, r.Ey, r.Gxy, r.Nuxy = &plane.E1, &plane.E2, &plane.G12, &plane.Nu12
	r.ExBending, r.EyBending = &bend.E1, &bend.E2
	if w.ThermalKnown {
		a := w.InPlaneExpansion()
		x, y := si.Expansion(a[0]), si.Expansion(a[1])
		r.AlphaX, r.AlphaY = &x, &y
	}
	return nil
}

// respond works out strain, stress and first failure under a load.
func (r *Result) respond(l wall.Load) {
	if r.Stiff == nil || (l.DT != 0 && !r.Stiff.ThermalKnown) {
		return
	}
	plies, of := r.Walls()
	e := r.Stiff.Respond(l)
	mid, bend := tidy(e.Mid), tidy(e.Curvature)
	r.Midplane, r.Curvature = &mid, &bend
	for i, f := range wall.Stresses(plies, e, l.DT) {
		bottom, top := tidy(f.Bottom), tidy(f.Top)
		r.Plies[of[i]].Bottom, r.Plies[of[i]].Top = &bottom, &top
	}
	r.First = firstFailure(plies, r.Stiff, l)
	for c, f := range r.First {
		f.Ply = of[f.Ply]
		r.First[c] = f
	}
}

// tidy sets to 0 what is rounding beside the vector's largest term.
func tidy(v wall.Vec) wall.Vec {
	var most float64
	for _, x := range v {
		most = math.Max(most, math.Abs(x))
	}
	const rounding = 1e-12
	for i, x := range v {
		if math.Abs(x) <= rounding*most {
			v[i] = 0 // also a negative zero
		}
	}
	return v
}

// firstFailure finds for each criterion the layer that fails first when the
// mechanical load grows and the stress of the temperature stays. Layers without
// strengths, such as cores, take no part.
func firstFailure(plies []wall.Ply, w *wall.Stiffness, l wall.Load) map[wall.Criterion]First {
	if l.N == (wall.Vec{}) && l.M == (wall.Vec{}) {
		return nil
	}
	load := wall.Stresses(plies, w.Respond(wall.Load{N: l.N, M: l.M}), 0)
	held := make([]wall.Faces, len(plies))
	if l.DT != 0 {
		held = wall.Stresses(plies, w.Respond(wall.Load{DT: l.DT}), l.DT)
	}
	out := map[wall.Criterion]First{}
	for _, c := range wall.Criteria {
		first := First{Ratio: math.Inf(1)}
		for i, p := range plies {
			if p.Strength == nil {
				continue
			}
			for _, f := range []wall.Failure{p.Fail(c, held[i].Bottom, load[i].Bottom), p.Fail(c, held[i].Top, load[i].Top)} {
				if f.Ratio < first.Ratio*(1-1e-9) { // of equals the one nearest the mould
					first = First{f.Ratio, i, f.Mode}
				}
			}
		}
		if !math.IsInf(first.Ratio, 1) {
			out[c] = first
		}
	}
	if len(out) == 0 {
		return nil
	}
	return out
}

// shares returns how the fibre is spread over the directions, by mass, in
// rising order of angle. Only cloth that lies everywhere counts: what runs where in a
// measured ply is not known.
func shares(layers []Layer) []Share {
	sum := map[float64]float64{} // by angle in degrees
	var total float64
	put := func(a si.Angle, m float64) {
		deg := math.Round(1e6*math.Mod(a.Degrees(), 180)) / 1e6
		if deg <= -90 {
			deg += 180
		} else if deg > 90 {
			deg -= 180
		}
		sum[deg] += m
		total += m
	}
	for _, l := range layers {
		if l.Kind != Cloth || l.Doubler() {
			continue
		}
		put(l.Angle, l.WarpShare*float64(l.Fibre))
		if l.WarpShare < 1 {
			put(l.Angle+math.Pi/2, (1-l.WarpShare)*float64(l.Fibre))
		}
	}
	var out []Share
	for deg, m := range sum {
		out = append(out, Share{si.Degrees(deg), m / total})
	}
	slices.SortFunc(out, func(a, b Share) int {
		if a.Angle < b.Angle {
			return -1
		}
		return 1
	})
	return out
}
