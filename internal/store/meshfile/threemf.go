package meshfile

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"path"
	"strings"

	"laywright/internal/base/mesh"
)

const (
	// A mesh in XML packs to a fifth or a tenth; a file that unpacks to more
	// than maxPacking times its size and more than freeBytes is a bomb.
	maxPacking = 200
	freeBytes  = 1 << 20

	maxInstances = 100_000 // of objects placed by items and components
	maxNesting   = 32      // of components in components

	modelRelation = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
	usualModel    = "3D/3dmodel.model"
)

// threeMF is a 3MF archive: one root model, which may name objects of others.
type threeMF struct {
	in        *input
	zip       *zip.Reader
	left      int64 // bytes that may still be unpacked
	models    map[string]*model
	out       *mesh.Mesh
	info      Info
	instances int
}

// read3MF places the objects of the build items, with their components and
// transforms, into one mesh. It reads the core of the format and the paths of
// the production extension; colours, slices and lattices are not for a mould.
//
// Source: [3mfcore].
func read3MF(in *input) (*mesh.Mesh, Info, error) {
	info := Info{Kind: "3mf"}
	data, err := io.ReadAll(in.r)
	if err != nil {
		return nil, info, in.broken("", err)
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, info, in.fail("", "the zip archive is damaged ("+err.Error()+"), so no triangle can be read", "it may be cut off: export or copy it again")
	}
	r := &threeMF{in: in, zip: z, models: map[string]*model{}, out: &mesh.Mesh{}, info: info}
	r.left = min(in.limits.Bytes, freeBytes+maxPacking*int64(len(data)))
	root, err := r.rootName()
	if err != nil {
		return nil, info, err
	}
	m, err := r.model(root)
	if err != nil {
		return nil, r.info, err
	}
	r.info.Unit = m.unit
	for _, item := range m.items {
		if err := r.place(m, item, identity, 0); err != nil {
			return nil, r.info, err
		}
	}
	r.info.Triangles = len(r.out.Triangles)
	return r.out, r.info, nil
}

// entry opens a file of the archive, case ignored, and counts what it unpacks.
func (r *threeMF) entry(name string) (io.Reader, error) {
	name = strings.TrimPrefix(path.Clean("/"+name), "/")
	for _, f := range r.zip.File {
		if !strings.EqualFold(strings.TrimPrefix(f.Name, "/"), name) {
			continue
		}
		body, err := f.Open()
		if err != nil {
			return nil, r.in.fail(short(name), "it can't be unpacked: "+err.Error(), "export it again")
		}
		return &metered{body, &r.left}, nil // nothing to close: the archive is in memory
	}
	return nil, nil
}

// metered counts bytes against an allowance that several readers share.
type metered struct {
	r    io.Reader
	left *int64
}

func (m *metered) Read(p []byte) (int, error) {
	if *m.left <= 0 {
		return 0, errBomb
	}
	if int64(len(p)) > *m.left {
		p = p[:*m.left]
	}
	n, err := m.r.Read(p)
	*m.left -= int64(n)
	return n, err
}

var errBomb = fmt.Errorf("bomb")

// unpackError tells an archive that is too large from one that is damaged.
func (r *threeMF) unpackError(name string, err error) error {
	if err == errBomb {
		return r.in.fail(short(name), "it unpacks to far more than a mesh of its size would", "export it again, or raise the limit if the mesh is meant to be so large")
	}
	if e, ok := err.(*Error); ok {
		return e
	}
	return r.in.fail(short(name), "it can't be read: "+err.Error(), "export it again")
}

// rootName finds the model that the archive's relations name, else the usual one.
func (r *threeMF) rootName() (string, error) {
	body, err := r.entry("_rels/.rels")
	if err != nil || body == nil {
		return usualModel, err
	}
	var rels struct {
		Relationship []struct {
			Type   string `xml:"Type,attr"`
			Target string `xml:"Target,attr"`
		}
	}
	if err := xml.NewDecoder(io.LimitReader(body, freeBytes)).Decode(&rels); err != nil {
		return "", r.unpackError("_rels/.rels", err)
	}
	for _, rel := range rels.Relationship {
		if rel.Type == modelRelation {
			return rel.Target, nil
		}
	}
	return usualModel, nil
}

// model reads a model of the archive, once.
func (r *threeMF) model(name string) (*model, error) {
	name = strings.TrimPrefix(path.Clean("/"+name), "/")
	if m := r.models[name]; m != nil {
		return m, nil
	}
	body, err := r.entry(name)
	if err != nil {
		return nil, err
	}
	if body == nil {
		return nil, r.in.fail("", fmt.Sprintf("the archive has no model %s, so no triangle", short(name)), "it is no 3MF file: export it again")
	}
	p := &modelParser{d: xml.NewDecoder(body), in: *r.in, r: r, name: name, m: &model{objects: map[string]*object{}}}
	if err := p.parse(); err != nil {
		return nil, r.unpackError(name, err)
	}
	r.models[name] = p.m
	return p.m, nil
}

// place puts an object, moved, into the mesh, and so its components.
func (r *threeMF) place(m *model, c component, outer transform, depth int) error {
	if c.path != "" {
		var err error
		if m, err = r.model(c.path); err != nil {
			return err
		}
	}
	o := m.objects[c.object]
	if r.instances++; r.instances > maxInstances || depth > maxNesting {
		return r.in.fail("", "its components hold each other without end", "export it again as one object")
	}
	if o == nil {
		return r.in.fail("", fmt.Sprintf("object %s is placed, but not given", short(c.object)), "export it again")
	}
	if o.kind == "support" { // what a printer would break away
		return nil
	}
	at := c.move.then(outer)
	if len(o.triangles) > 0 {
		if err := r.addMesh(o, at); err != nil {
			return err
		}
	}
	for _, part := range o.parts {
		if err := r.place(m, part, at, depth+1); err != nil {
			return err
		}
	}
	return nil
}

func (r *threeMF) addMesh(o *object, at transform) error {
	if len(r.out.Triangles)+len(o.triangles) > r.in.limits.Triangles || len(r.out.Vertices)+len(o.vertices) > 3*r.in.limits.Triangles {
		return r.in.tooMany("")
	}
	r.info.Solids = append(r.info.Solids, o.name)
	first := int32(len(r.out.Vertices))
	for _, v := range o.vertices {
		p := at.apply(v)
		if _, err := (&input{file: r.in.file, limits: r.in.limits, unit: 1}).vec(p.X, p.Y, p.Z); err != nil {
			return err
		}
		r.out.Vertices = append(r.out.Vertices, p)
	}
	mirrored := at.determinant() < 0
	for _, t := range o.triangles {
		if mirrored {
			t[1], t[2] = t[2], t[1]
		}
		r.out.Triangles = append(r.out.Triangles, [3]int32{first + t[0], first + t[1], first + t[2]})
	}
	return nil
}
