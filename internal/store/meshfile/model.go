package meshfile

import (
	"encoding/xml"
	"fmt"
	"io"
	"strconv"

	"gonum.org/v1/gonum/spatial/r3"
)

// model is what one .model file gives: objects and the items to build.
type model struct {
	unit    float64
	objects map[string]*object
	items   []component
}

// object is a mesh, or components, in metres.
type object struct {
	name, kind string
	vertices   []r3.Vec
	triangles  [][3]int32
	parts      []component
}

// component places an object of this model or of the one at path.
type component struct {
	object, path string
	move         transform
}

// modelUnits are the units of the format, m; none stands for millimetres.
var modelUnits = map[string]float64{"micron": 1e-6, "millimeter": 1e-3, "centimeter": 1e-2, "inch": 0.0254, "foot": 0.3048, "meter": 1, "": 1e-3}

// modelParser takes the XML element by element, so that no more than the mesh
// itself is kept.
type modelParser struct {
	d     *xml.Decoder
	in    input // with the model's own unit
	r     *threeMF
	name  string
	m     *model
	open  *object
	total int // triangles of the file so far
}

func (p *modelParser) at() string {
	line, _ := p.d.InputPos()
	return fmt.Sprintf("%s line %d", short(p.name), line)
}

func (p *modelParser) fail(what string) error {
	return p.in.fail(p.at(), what, "export it again")
}

func (p *modelParser) parse() error {
	p.in.unit = modelUnits[""]
	p.m.unit = p.in.unit
	seen := false
	for {
		token, err := p.d.Token()
		if err == io.EOF && seen {
			return nil
		}
		if err == io.EOF {
			return p.fail("it holds no model, so no triangle")
		}
		if err != nil {
			return err
		}
		switch e := token.(type) {
		case xml.StartElement:
			seen = seen || e.Name.Local == "model"
			if err := p.start(e); err != nil {
				return err
			}
		case xml.EndElement:
			if e.Name.Local == "object" {
				p.open = nil
			}
		}
	}
}

func (p *modelParser) start(e xml.StartElement) error {
	switch e.Name.Local {
	case "model":
		u, ok := modelUnits[attr(e, "unit")]
		if !ok {
			return p.fail(fmt.Sprintf("the unit %s is none of the format's", short(attr(e, "unit"))))
		}
		p.in.unit, p.m.unit = u, u
	case "object":
		p.open = &object{name: printable(attr(e, "name")), kind: attr(e, "type")}
		id := attr(e, "id")
		if p.m.objects[id] != nil {
			return p.fail(fmt.Sprintf("object %s is given twice", short(id)))
		}
		p.m.objects[id] = p.open
	case "vertex":
		return p.vertex(e)
	case "triangle":
		return p.triangle(e)
	case "component", "item":
		return p.component(e)
	}
	return nil
}

func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func (p *modelParser) vertex(e xml.StartElement) error {
	if p.open == nil {
		return p.fail("a vertex outside of an object")
	}
	if len(p.open.vertices) >= 3*p.in.limits.Triangles {
		return p.in.tooMany(p.at())
	}
	var c [3]float64
	for i, name := range [3]string{"x", "y", "z"} {
		var err error
		if c[i], err = p.in.number(attr(e, name)); err != nil {
			return placed(err, p.at())
		}
	}
	v, err := p.in.vec(c[0], c[1], c[2])
	if err != nil {
		return placed(err, p.at())
	}
	p.open.vertices = append(p.open.vertices, v)
	return nil
}

func (p *modelParser) triangle(e xml.StartElement) error {
	if p.open == nil {
		return p.fail("a triangle outside of an object")
	}
	if p.total++; p.total > p.in.limits.Triangles {
		return p.in.tooMany(p.at())
	}
	var t [3]int32
	for k, name := range [3]string{"v1", "v2", "v3"} {
		n, err := strconv.ParseInt(attr(e, name), 10, 32)
		if err != nil || n < 0 || n >= int64(len(p.open.vertices)) {
			return p.fail(fmt.Sprintf("a triangle names vertex %s of %d", short(attr(e, name)), len(p.open.vertices)))
		}
		t[k] = int32(n)
	}
	p.open.triangles = append(p.open.triangles, t)
	return nil
}

func (p *modelParser) component(e xml.StartElement) error {
	c := component{object: attr(e, "objectid"), path: attr(e, "path"), move: identity}
	if text := attr(e, "transform"); text != "" {
		var ok bool
		if c.move, ok = parseTransform(text, p.in.unit); !ok {
			return p.fail(fmt.Sprintf("the transform %s is not twelve numbers that keep a volume", short(text)))
		}
	}
	switch {
	case e.Name.Local == "item":
		p.m.items = append(p.m.items, c)
	case p.open == nil:
		return p.fail("a component outside of an object")
	default:
		p.open.parts = append(p.open.parts, c)
	}
	return nil
}
