package meshfile

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// WriteSTL writes m as binary STL in units of the given size, in metres. STL
// holds single precision: seven digits.
func WriteSTL(w io.Writer, m *mesh.Mesh, unit float64) error {
	b := bufio.NewWriter(w) // keeps the first error until Flush
	var head [stlHeader]byte
	copy(head[:80], fmt.Sprintf("binary STL, unit %.9g m", unit)) // must not begin with "solid"
	binary.LittleEndian.PutUint32(head[80:], uint32(len(m.Triangles)))
	b.Write(head[:])
	var record [stlRecord]byte
	for f := range m.Triangles {
		p, q, r := m.Corners(f)
		for i, v := range [4]r3.Vec{m.FaceNormal(f), r3.Scale(1/unit, p), r3.Scale(1/unit, q), r3.Scale(1/unit, r)} {
			for j, c := range [3]float64{v.X, v.Y, v.Z} {
				binary.LittleEndian.PutUint32(record[12*i+4*j:], math.Float32bits(float32(c)))
			}
		}
		b.Write(record[:])
	}
	return b.Flush()
}

// WriteOBJ writes m as OBJ in units of the given size, in metres, with nine
// digits.
func WriteOBJ(w io.Writer, m *mesh.Mesh, unit float64) error {
	b := bufio.NewWriter(w)
	for _, v := range m.Vertices {
		b.WriteString("v ")
		writeVec(b, r3.Scale(1/unit, v))
	}
	for _, t := range m.Triangles {
		fmt.Fprintf(b, "f %d %d %d\n", t[0]+1, t[1]+1, t[2]+1)
	}
	return b.Flush()
}

// Field is a value at each vertex or of each triangle, for WriteVTK: a scalar, a
// vector or a whole number.
type Field struct {
	Name   string // one word, with the unit as its end: "shear_deg"
	Cells  bool   // of the triangles, not at the vertices
	Scalar []float64
	Vector []r3.Vec
	Whole  []int32
}

// WriteVTK writes m, in metres, and its fields as legacy ASCII VTK PolyData, with
// nine digits. It refuses a field that has no value for each vertex or triangle
// or one that is no number, and a name that is not one word.
func WriteVTK(w io.Writer, m *mesh.Mesh, title string, fields []Field) error {
	var points, cells []Field
	for _, f := range fields {
		n, to := len(m.Vertices), &points
		if f.Cells {
			n, to = len(m.Triangles), &cells
		}
		if err := f.check(n); err != nil {
			return err
		}
		*to = append(*to, f)
	}
	b := bufio.NewWriter(w)
	line := []rune(strings.TrimSpace(printable(title)))
	fmt.Fprintf(b, "# vtk DataFile Version 3.0\n%s\nASCII\nDATASET POLYDATA\n", string(line[:min(len(line), 200)]))
	fmt.Fprintf(b, "POINTS %d double\n", len(m.Vertices))
	for _, v := range m.Vertices {
		writeVec(b, v)
	}
	fmt.Fprintf(b, "POLYGONS %d %d\n", len(m.Triangles), 4*len(m.Triangles))
	for _, t := range m.Triangles {
		fmt.Fprintf(b, "3 %d %d %d\n", t[0], t[1], t[2])
	}
	writeFields(b, "POINT_DATA", len(m.Vertices), points)
	writeFields(b, "CELL_DATA", len(m.Triangles), cells)
	return b.Flush()
}

func writeFields(b *bufio.Writer, of string, n int, fields []Field) {
	if len(fields) > 0 {
		fmt.Fprintf(b, "%s %d\n", of, n)
	}
	for _, f := range fields {
		f.write(b)
	}
}

func (f Field) check(n int) error {
	if f.Name == "" || strings.ContainsFunc(f.Name, func(r rune) bool { return r <= ' ' || r > '~' }) {
		return fmt.Errorf("field %q: a name in VTK is one word of plain letters", f.Name)
	}
	kinds := 0
	for _, given := range []bool{f.Scalar != nil, f.Vector != nil, f.Whole != nil} {
		if given {
			kinds++
		}
	}
	if kinds != 1 || len(f.Scalar)+len(f.Vector)+len(f.Whole) != n {
		return fmt.Errorf("field %s: %d scalars, %d vectors and %d whole numbers for %d places", f.Name, len(f.Scalar), len(f.Vector), len(f.Whole), n)
	}
	for i, x := range f.Scalar {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return fmt.Errorf("field %s: %v at place %d is no number", f.Name, x, i)
		}
	}
	for i, v := range f.Vector {
		if s := v.X + v.Y + v.Z; math.IsNaN(s) || math.IsInf(s, 0) {
			return fmt.Errorf("field %s: %v at place %d is no number", f.Name, v, i)
		}
	}
	return nil
}

func (f Field) write(b *bufio.Writer) {
	switch {
	case f.Scalar != nil:
		fmt.Fprintf(b, "SCALARS %s double 1\nLOOKUP_TABLE default\n", f.Name)
		for _, x := range f.Scalar {
			b.Write(append(number(b.AvailableBuffer(), x), '\n'))
		}
	case f.Whole != nil:
		fmt.Fprintf(b, "SCALARS %s int 1\nLOOKUP_TABLE default\n", f.Name)
		for _, x := range f.Whole {
			fmt.Fprintln(b, x)
		}
	default:
		fmt.Fprintf(b, "VECTORS %s double\n", f.Name)
		for _, v := range f.Vector {
			writeVec(b, v)
		}
	}
}

// writeVec writes three numbers and a line's end.
func writeVec(b *bufio.Writer, v r3.Vec) {
	line := number(b.AvailableBuffer(), v.X)
	line = number(append(line, ' '), v.Y)
	line = number(append(line, ' '), v.Z)
	b.Write(append(line, '\n'))
}

func number(to []byte, x float64) []byte {
	return strconv.AppendFloat(to, x+0, 'g', 9, 64) // + 0 turns -0 into 0
}
