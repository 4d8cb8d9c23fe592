package job

import (
	"strings"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/joint"
	"laywright/internal/stage/mould"
	"laywright/internal/stage/strength"
)

// held says how the part is held and on what; the rim pinned where the job does not
// say.
func (l link) held(in *strength.Input) error {
	if l.spec.Part == nil || l.spec.Part.Held == nil {
		return nil
	}
	h := l.spec.Part.Held
	in.Edge = strength.Edge(h.Edge)
	switch {
	case h.Edge != "" && in.Edge != strength.Clamped && in.Edge != strength.Pinned:
		return &fault.Input{Field: "part.held.edge", What: "edge is " + h.Edge, Do: "write clamped or pinned"}
	case h.Flange != nil && (h.Edge != "" || h.Fasteners != nil):
		return &fault.Input{Field: "part.held.flange", What: "a bonded flange holds the part, and edge or fasteners stand beside it", Do: "keep one of them"}
	}
	if h.Flange != nil {
		in.Flange = bonded(*h.Flange)
	}
	if err := screwed(h.Fasteners, in); err != nil {
		return err
	}
	return l.ground(h, in)
}

func bonded(f mould.HeldFlange) *strength.Flange {
	return &strength.Flange{Width: f.Width, Adhesive: joint.Adhesive{E: f.E, G: f.G, Thickness: f.BondLine, Shear: f.Shear, Tension: f.Tension}}
}

func screwed(f *mould.Fasteners, in *strength.Input) error {
	if f == nil {
		return nil
	}
	if f.Diameter <= 0 {
		return &fault.Input{Field: "part.held.fasteners.diameter", What: "the fasteners have no diameter", Do: "write it, like 5 mm"}
	}
	if f.Head > 0 && f.Head < f.Diameter {
		return &fault.Input{Field: "part.held.fasteners.head", What: "the head is smaller than the hole", Do: "write the diameter of the head or its washer"}
	}
	for _, at := range f.At.P {
		in.Fasteners = append(in.Fasteners, strength.Fastener{At: at, Diameter: f.Diameter})
	}
	in.Screwed = strength.Screwed{Stiffness: f.Stiffness, Head: f.Head, Bearing: f.Bearing}
	if f.Of != "" {
		metal, err := groundOf("part.held.fasteners.of", f.Of)
		in.Screwed.E = metal.E
		return err
	}
	return nil
}

// ground says what the part is fastened to, and how warm that is in the cases in
// which the wall is.
func (l link) ground(h *mould.Held, in *strength.Input) error {
	in.Ground = strength.Ground{Expansion: h.Expansion, Thickness: h.Sheet}
	if h.On != "" {
		g, err := groundOf("part.held.on", h.On)
		if err != nil {
			return err
		}
		in.Ground.E = g.E
		if h.Expansion == nil {
			in.Ground.Expansion = &g.Expansion
		}
	}
	if h.Temperature == nil {
		return nil
	}
	if in.Ground.Expansion == nil {
		return &fault.Input{Field: "part.held.temperature", What: "nothing says what the part is fastened to, so its growth is not known", Do: "write on: aluminium, or what it is, or its expansion"}
	}
	for i := range in.Cases {
		if c := &in.Cases[i]; c.Wall != 0 {
			c.Under = si.TemperatureDifference(*h.Temperature - l.spec.Shop.temperature())
		}
	}
	return nil
}

func groundOf(field, name string) (joint.Ground, error) {
	g, known := joint.GroundOf(name)
	if known {
		return g, nil
	}
	e := &fault.Input{Field: field, What: name + " is not known here", Do: "write one of " + strings.Join(joint.GroundNames(), ", ") + ", or the expansion itself"}
	if near, ok := bind.Nearest(name, joint.GroundNames()); ok {
		e.Do = "did you mean " + near + "?"
	}
	return g, e
}
