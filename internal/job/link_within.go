package job

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/geom"
	"laywright/internal/base/outline"
	"laywright/internal/base/si"
	"laywright/internal/stage/laminate"
	"laywright/internal/stage/plies"
)

// within returns where the doubler of a line of the stack lies, for the plies.
func (l link) within(line int, areas []laminate.Area) (out []plies.Area, err error) {
	for i, a := range areas {
		field := fault.Numbered(fault.Numbered("laminate.stack", line)+".within", i)
		switch {
		case a.Circle != nil:
			out = append(out, circled(field+".circle.at", "in the circle of "+l.show(a.Circle.Diameter), *a.Circle, 0))
		case a.Polygon != nil:
			one, err := ringed(field+".polygon", "in the polygon", *a.Polygon, 0)
			if err != nil {
				return nil, err
			}
			out = append(out, one)
		case a.Fasteners != nil:
			some, err := l.aroundFasteners(field+".around_fasteners", *a.Fasteners)
			if err != nil {
				return nil, err
			}
			out = append(out, some...)
		case a.Cutouts != nil:
			some, err := l.aroundCutouts(field+".around_cutouts", *a.Cutouts)
			if err != nil {
				return nil, err
			}
			out = append(out, some...)
		}
	}
	return out, nil
}

func (l link) aroundFasteners(field string, past si.Length) (out []plies.Area, err error) {
	p := l.spec.Part
	if p == nil || p.Held == nil || p.Held.Fasteners == nil || len(p.Held.Fasteners.At.P) == 0 {
		return nil, &fault.Input{Field: field, What: "no fasteners hold the part", Do: "write part.held.fasteners, or draw circles"}
	}
	f := p.Held.Fasteners
	for i, at := range f.At.P {
		out = append(out, plies.Area{Field: field, What: fmt.Sprintf("at fastener %d", i+1), At: at, Radius: float64(f.Diameter)/2 + float64(past)})
	}
	return out, nil
}

func (l link) aroundCutouts(field string, past si.Length) (out []plies.Area, err error) {
	if l.spec.Part == nil || len(l.spec.Part.Cutouts) == 0 {
		return nil, &fault.Input{Field: field, What: "the part has no cut-outs", Do: "write part.cutouts, or draw circles"}
	}
	for i, c := range l.spec.Part.Cutouts {
		what := fmt.Sprintf("around cut-out %d", i+1)
		switch {
		case c.Circle != nil:
			out = append(out, circled(field, what, *c.Circle, past))
		case c.Polygon != nil:
			one, err := ringed(field, what, *c.Polygon, past)
			if err != nil {
				return nil, err
			}
			out = append(out, one)
		}
	}
	return out, nil
}

func circled(field, what string, c outline.Circle, past si.Length) plies.Area {
	return plies.Area{Field: field, What: what, At: c.At.V, Axis: along(c.Axis), Radius: float64(c.Diameter/2 + past)}
}

func ringed(field, what string, p outline.Polygon, past si.Length) (plies.Area, error) {
	ring, err := p.Outline.Ring(field + ".outline")
	if err != nil {
		return plies.Area{}, err
	}
	return plies.Area{Field: field, What: what, At: p.At.V, Axis: along(p.Axis), Ring: geom.Polygon(ring), Past: float64(past)}, nil
}

func along(d *bind.Direction) r3.Vec {
	if d == nil {
		return r3.Vec{}
	}
	return d.V
}

// show writes a length as the job shows it, short.
func (l link) show(x si.Length) string { return strings.TrimSpace(si.Show(x, l.spec.system(), 3)) }
