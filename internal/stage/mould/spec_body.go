package mould

import (
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/mould/coats"
)

// Body says how the mould is made inside and finished outside.
type Body struct {
	Skin   si.Length    `yaml:"skin"`   // thickness of the wall, where the mould is a skin over a hollow; solid where left out
	Ribs   si.Length    `yaml:"ribs"`   // clear width between the ribs under the skin; none: that of the mould
	Finish coats.Finish `yaml:"finish"` // painted where left out, or clear: the part's cloth is seen
}

// body returns what the job says of the body, checked.
func (s *Spec) body() (Body, error) {
	if s.Body == nil {
		return Body{Finish: coats.Painted}, nil
	}
	b := *s.Body
	switch b.Finish {
	case "":
		b.Finish = coats.Painted
	case coats.Painted, coats.Clear:
	default:
		return b, &fault.Input{Field: "mould.body.finish", What: "finish is " + string(b.Finish), Do: "write painted or clear"}
	}
	if b.Skin == 0 {
		if b.Ribs != 0 {
			return b, &fault.Input{Field: "mould.body.ribs", What: "a solid mould has no ribs", Do: "give the skin's thickness as mould.body.skin, or take the line out"}
		}
		return b, nil
	}
	if err := fault.Check("mould.body.skin", 1e3*float64(b.Skin), 0.5, 100, " mm", "the wall of a hollow mould"); err != nil {
		return b, err
	}
	if b.Ribs == 0 {
		return b, nil
	}
	return b, fault.Check("mould.body.ribs", 1e3*float64(b.Ribs), 2e3*float64(b.Skin), 1e3*largest, " mm", "ribs nearer than twice the skin's thickness are a solid")
}

// asBuilt takes the skin and its ribs from the way the mould is built, where the job
// gives no skin of its own.
func (r *Result) asBuilt(body Body, s *BuildSpec) Body {
	if body.Skin > 0 || r.Build == nil || s == nil {
		return body
	}
	if f := r.Build.Frame; f != nil {
		body.Skin, body.Ribs = f.Skin, f.Clear()
	} else {
		body.Skin = s.Hollow
	}
	return body
}
