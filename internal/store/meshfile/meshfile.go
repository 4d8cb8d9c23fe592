// Package meshfile reads triangle meshes from STL, OBJ and 3MF files and writes
// STL, OBJ and VTK.
//
// A reader is given a stream and a name; it trusts neither the name's extension
// alone nor what a header promises. It takes memory as data comes, and refuses
// a file that is cut off, holds numbers that are none, or is larger than the
// limits, with an [Error] that says where and what to do. Places become metres;
// vertices keep their order. It judges no shape: holes and wrong turns are for
// mesh.Clean to find.
package meshfile

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"path"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// Error says what is wrong with a mesh file, where, and what to do.
type Error struct {
	File string // name as given
	At   string // "byte 684", "line 12", or empty for the whole file
	What string
	Do   string
}

func (e *Error) Error() string {
	s := e.File + ": "
	if e.At != "" {
		s += e.At + ": "
	}
	s += e.What
	if e.Do != "" {
		s += "; " + e.Do
	}
	return s
}

// Limits hold a file to a size that can be worked with. A field that is 0
// stands for the default.
type Limits struct {
	Triangles  int     // default 20 million
	Bytes      int64   // size of the file, and of what a 3MF file unpacks to; default 2 GiB
	Coordinate float64 // largest coordinate, m; default 1 km, beyond any mould
}

func (l Limits) withDefaults() Limits {
	if l.Triangles <= 0 {
		l.Triangles = 20_000_000
	}
	if l.Bytes <= 0 {
		l.Bytes = 2 << 30
	}
	if !(l.Coordinate > 0) {
		l.Coordinate = 1000
	}
	return l
}

// Info is what a file said beside its mesh.
type Info struct {
	Kind      string   // "stl-binary", "stl-ascii", "obj" or "3mf"
	Solids    []string // names of the solids in the file, in order
	Triangles int      // as in the file; polygons count as their triangles
	Unit      float64  // metres in one unit of the file; a 3MF file says it itself
}

// Read reads a mesh whose coordinates are in units of the given size, in
// metres. A 3MF file says its unit itself, which is then used (see Info.Unit).
// Vertices of an STL file with equal coordinates become one.
func Read(r io.Reader, name string, unit float64, limits Limits) (*mesh.Mesh, Info, error) {
	l := limits.withDefaults()
	if !(unit > 0) || math.IsInf(unit, 0) {
		return nil, Info{}, &Error{File: name, What: fmt.Sprintf("the unit of %g m can't be", unit), Do: "give the file's unit, such as mm"}
	}
	in := &input{file: name, limits: l, unit: unit}
	in.r = bufio.NewReaderSize(&capped{r: r, left: l.Bytes}, 64<<10)
	m, info, err := in.read()
	if err != nil {
		return nil, info, err
	}
	if len(m.Triangles) == 0 {
		return nil, info, in.fail("", "it holds no triangle", "export the surface again")
	}
	return m, info, nil
}

// read chooses the reader: by content where that is certain, else by extension.
func (in *input) read() (*mesh.Mesh, Info, error) {
	head, err := in.r.Peek(4)
	if len(head) == 0 {
		if err != nil && err != io.EOF {
			return nil, Info{}, in.broken("", err)
		}
		return nil, Info{}, in.fail("", "the file is empty, without a triangle", "export it again")
	}
	if string(head) == "PK\x03\x04" {
		return read3MF(in)
	}
	switch ext := strings.ToLower(path.Ext(in.file)); ext {
	case ".stl":
		return readSTL(in)
	case ".obj":
		return readOBJ(in)
	case ".3mf":
		return nil, Info{}, in.fail("", "it is no 3MF file: 3MF is a zip archive and this is none", "export it again")
	default:
		return nil, Info{}, in.fail("", fmt.Sprintf("the kind %q can't be read", ext), "use .stl, .obj or .3mf")
	}
}

// input is one file being read.
type input struct {
	r      *bufio.Reader
	file   string
	limits Limits
	unit   float64
}

func (in *input) fail(at, what, do string) error {
	return &Error{File: in.file, At: at, What: what, Do: do}
}

// broken reports an error of the stream itself.
func (in *input) broken(at string, err error) error {
	if err == errTooLong {
		return in.fail(at, fmt.Sprintf("the file is longer than %d bytes", in.limits.Bytes), "thin the mesh out or raise the limit")
	}
	return in.fail(at, "reading failed: "+err.Error(), "")
}

// vec turns file coordinates into metres, and refuses what is no place; the
// caller adds to the error where that is (see placed).
func (in *input) vec(x, y, z float64) (r3.Vec, error) {
	v := r3.Vec{X: x*in.unit + 0, Y: y*in.unit + 0, Z: z*in.unit + 0} // + 0 turns -0 into 0
	for i, c := range [3]float64{v.X, v.Y, v.Z} {
		if math.Abs(c) <= in.limits.Coordinate { // false for NaN
			continue
		}
		raw := [3]float64{x, y, z}[i]
		if math.IsNaN(c) || math.IsInf(raw, 0) {
			return v, in.fail("", fmt.Sprintf("coordinate %c is %v, not a number that can be used", "xyz"[i], raw), "export it again")
		}
		return v, in.fail("", fmt.Sprintf("coordinate %c is %.4g m; the limit is %.4g m", "xyz"[i], c, in.limits.Coordinate),
			"check the unit that the file is read in")
	}
	return v, nil
}

// placed adds where in the file to an error that lacks it.
func placed(err error, at string) error {
	if e, ok := err.(*Error); ok && e.At == "" {
		e.At = at
	}
	return err
}

func (in *input) tooMany(at string) error {
	return in.fail(at, fmt.Sprintf("it holds more than %d triangles", in.limits.Triangles), "thin the mesh out or raise the limit")
}

// capped is a reader that fails once more bytes come than it may pass on.
type capped struct {
	r    io.Reader
	left int64
}

var errTooLong = fmt.Errorf("too long")

func (c *capped) Read(p []byte) (int, error) {
	if c.left < 0 {
		return 0, errTooLong
	}
	if int64(len(p)) > c.left+1 {
		p = p[:c.left+1]
	}
	n, err := c.r.Read(p)
	c.left -= int64(n)
	if c.left < 0 {
		return n - 1, errTooLong
	}
	return n, err
}
