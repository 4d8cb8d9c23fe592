package meshfile

import (
	"bufio"
	"fmt"
	"strconv"
	"strings"

	"laywright/internal/base/mesh"
)

const (
	maxOBJLine = 1 << 20
	maxCorners = 1000 // of one polygon
)

// objFile reads a text of v and f lines; everything else is passed over.
type objFile struct {
	in   *input
	line int
	m    *mesh.Mesh
	info Info
}

// readOBJ takes vertices and polygons; the latter become triangles. Vertices
// keep their order and are not welded, since OBJ shares them by number.
func readOBJ(in *input) (*mesh.Mesh, Info, error) {
	o := &objFile{in: in, m: &mesh.Mesh{}, info: Info{Kind: "obj", Unit: in.unit}}
	s := bufio.NewScanner(in.r)
	s.Buffer(nil, maxOBJLine)
	held := ""
	for s.Scan() {
		o.line++
		text := held + s.Text()
		if strings.HasSuffix(strings.TrimRight(text, " \t"), "\\") && len(text) < maxOBJLine { // goes on in the next line
			held = strings.TrimSuffix(strings.TrimRight(text, " \t"), "\\") + " "
			continue
		}
		held = ""
		if err := o.statement(text); err != nil {
			return nil, o.info, err
		}
	}
	switch err := s.Err(); {
	case err == bufio.ErrTooLong:
		return nil, o.info, in.fail(fmt.Sprintf("line %d", o.line+1), fmt.Sprintf("a line of more than %d letters", maxOBJLine), "this is no OBJ file: export it again")
	case err != nil:
		return nil, o.info, in.wrap(o.at(), err)
	case held != "":
		return nil, o.info, in.fail(o.at(), "the file ends inside a line that goes on", "it is cut off: export or copy it again")
	}
	o.info.Triangles = len(o.m.Triangles)
	return o.m, o.info, nil
}

func (o *objFile) at() string { return fmt.Sprintf("line %d", o.line) }

func (o *objFile) statement(text string) error {
	if i := strings.IndexByte(text, '#'); i >= 0 {
		text = text[:i]
	}
	words := strings.Fields(text)
	if len(words) == 0 {
		return nil
	}
	switch words[0] {
	case "v":
		return o.vertex(words[1:])
	case "f", "fo":
		return o.face(words[1:])
	case "o":
		o.info.Solids = append(o.info.Solids, printable(strings.Join(words[1:], " ")))
	}
	return nil
}

// vertex reads x y z; what may follow (a weight, colours) is not used.
func (o *objFile) vertex(words []string) error {
	if len(words) < 3 {
		return o.in.fail(o.at(), fmt.Sprintf("a vertex with %d of 3 coordinates", len(words)), "it is cut off or damaged: export it again")
	}
	if len(o.m.Vertices) >= 3*o.in.limits.Triangles {
		return o.in.tooMany(o.at())
	}
	var c [3]float64
	for i := range c {
		var err error
		if c[i], err = o.in.number(words[i]); err != nil {
			return placed(err, o.at())
		}
	}
	p, err := o.in.vec(c[0], c[1], c[2])
	if err != nil {
		return placed(err, o.at())
	}
	o.m.Vertices = append(o.m.Vertices, p)
	return nil
}

// face reads the corners of a polygon, each vertex/texture/normal.
func (o *objFile) face(words []string) error {
	if len(words) < 3 {
		return o.in.fail(o.at(), fmt.Sprintf("a face with %d corners makes no triangle", len(words)), "it is cut off or damaged: export it again")
	}
	if len(words) > maxCorners {
		return o.in.fail(o.at(), fmt.Sprintf("a face with %d corners; the limit is %d", len(words), maxCorners), "export it in triangles")
	}
	if len(o.m.Triangles)+len(words)-2 > o.in.limits.Triangles {
		return o.in.tooMany(o.at())
	}
	corners := make([]int32, len(words))
	for k, w := range words {
		text, _, _ := strings.Cut(w, "/")
		n, err := strconv.ParseInt(text, 10, 32)
		if err != nil {
			return o.in.fail(o.at(), fmt.Sprintf("%s names no vertex", short(w)), "export it again")
		}
		have := int64(len(o.m.Vertices))
		i := n - 1
		if n < 0 {
			i = have + n
		}
		if n == 0 || i < 0 || i >= have {
			return o.in.fail(o.at(), fmt.Sprintf("a triangle names vertex %d, but %d are given above it and they count from 1", n, have), "export it again")
		}
		corners[k] = int32(i)
	}
	o.m.Triangles = append(o.m.Triangles, cutPolygon(o.m.Vertices, corners)...)
	return nil
}
