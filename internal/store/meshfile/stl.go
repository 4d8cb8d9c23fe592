package meshfile

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

const (
	stlHeader = 84 // 80 bytes of text and the count
	stlRecord = 50 // normal, three corners, two bytes of attribute
)

// soup gathers loose triangles and makes vertices with equal coordinates one.
type soup struct {
	m    *mesh.Mesh
	seen map[r3.Vec]int32
}

func newSoup() *soup { return &soup{m: &mesh.Mesh{}, seen: map[r3.Vec]int32{}} }

func (s *soup) vertex(v r3.Vec) int32 {
	i, ok := s.seen[v]
	if !ok {
		i = int32(len(s.m.Vertices))
		s.seen[v] = i
		s.m.Vertices = append(s.m.Vertices, v)
	}
	return i
}

func (s *soup) triangle(a, b, c r3.Vec) {
	s.m.Triangles = append(s.m.Triangles, [3]int32{s.vertex(a), s.vertex(b), s.vertex(c)})
}

func readSTL(in *input) (*mesh.Mesh, Info, error) {
	head, err := in.r.Peek(4096)
	if err != nil && err != io.EOF {
		return nil, Info{}, in.broken("", err)
	}
	if isASCII(head) {
		return readASCII(in)
	}
	return readBinary(in)
}

// isASCII tells the two kinds of STL apart by what follows the first line, as a
// binary file's header may begin with "solid" too.
func isASCII(head []byte) bool {
	text := bytes.ToLower(bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\xef\xbb\xbf")), " \t\r\n"))
	if !bytes.HasPrefix(text, []byte("solid")) {
		return false
	}
	if i := bytes.IndexAny(text, "\r\n"); i >= 0 {
		rest := bytes.TrimLeft(text[i:], " \t\r\n")
		if bytes.HasPrefix(rest, []byte("facet")) || bytes.HasPrefix(rest, []byte("endsolid")) {
			return true
		}
	}
	return bytes.IndexByte(head, 0) < 0 && len(head) < 4096 || looksLikeText(head)
}

// looksLikeText is for what begins like text but goes on with neither a facet
// nor the end: it gets the reader whose error fits.
func looksLikeText(head []byte) bool {
	for _, c := range head {
		if c < ' ' && c != '\t' && c != '\r' && c != '\n' {
			return false
		}
	}
	return true
}

// readBinary takes records as they come and compares the header's count with
// them at the end.
func readBinary(in *input) (*mesh.Mesh, Info, error) {
	info := Info{Kind: "stl-binary", Unit: in.unit}
	var head [stlHeader]byte
	if n, err := io.ReadFull(in.r, head[:]); err != nil {
		if !ended(err) {
			return nil, info, in.broken("", err)
		}
		return nil, info, in.fail(fmt.Sprintf("byte %d", n),
			"the file ends inside the header, before the first triangle", "it is cut off or no STL: export it again")
	}
	info.Solids = []string{headerText(head[:80])}
	count := int64(binary.LittleEndian.Uint32(head[80:]))
	s := newSoup()
	var record [stlRecord]byte
	for f := int64(0); ; f++ {
		n, err := io.ReadFull(in.r, record[:])
		at := stlHeader + f*stlRecord + int64(n)
		switch {
		case err != nil && !ended(err):
			return nil, info, in.broken(fmt.Sprintf("byte %d", at), err)
		case err == io.EOF && f == count:
			info.Triangles = len(s.m.Triangles)
			return s.m, info, nil
		case err != nil:
			return nil, info, in.miscount(count, f, at)
		case f >= int64(in.limits.Triangles):
			return nil, info, in.tooMany(fmt.Sprintf("byte %d", at))
		}
		if err := in.record(s, f, record[12:48]); err != nil {
			return nil, info, err
		}
	}
}

func ended(err error) bool { return err == io.EOF || errors.Is(err, io.ErrUnexpectedEOF) }

func (in *input) miscount(count, f, at int64) error {
	if count > f {
		return in.fail(fmt.Sprintf("byte %d", at), fmt.Sprintf("the file ends after %d whole triangles, but its header promises %d", f, count),
			"it is cut off: export or copy it again")
	}
	return in.fail(fmt.Sprintf("byte %d", stlHeader+count*stlRecord),
		fmt.Sprintf("the header promises %d triangles, but %d bytes follow them", count, at-stlHeader-count*stlRecord), "export it again")
}

func (in *input) record(s *soup, f int64, b []byte) error {
	var corner [3]r3.Vec
	for k := range corner {
		var c [3]float64
		for i := range c {
			c[i] = float64(math.Float32frombits(binary.LittleEndian.Uint32(b[12*k+4*i:])))
		}
		var err error
		if corner[k], err = in.vec(c[0], c[1], c[2]); err != nil {
			return placed(err, fmt.Sprintf("byte %d: triangle %d", stlHeader+f*stlRecord+12+int64(12*k), f+1))
		}
	}
	s.triangle(corner[0], corner[1], corner[2])
	return nil
}

// headerText returns the readable start of a binary header.
func headerText(b []byte) string {
	if i := bytes.IndexByte(b, 0); i >= 0 {
		b = b[:i]
	}
	return printable(string(bytes.TrimSpace(b)))
}
