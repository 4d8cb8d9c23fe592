package meshfile

import (
	"fmt"
	"io"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
)

// asciiSTL reads the text kind of STL word by word.
type asciiSTL struct {
	*words
	soup *soup
	info Info
}

// readASCII reads every solid of the file; letters may be of either case and
// lines may break anywhere but inside a name. The normals in the file are not
// used: the corners' turn is the outside.
func readASCII(in *input) (*mesh.Mesh, Info, error) {
	if head, err := in.r.Peek(3); err == nil && string(head) == "\xef\xbb\xbf" {
		_, _ = in.r.Discard(3) // can't fail: they are in the buffer
	}
	a := &asciiSTL{words: newWords(in), soup: newSoup(), info: Info{Kind: "stl-ascii", Unit: in.unit}}
	open := false
	for {
		word, err := a.word()
		if err == io.EOF {
			if open {
				err = a.cutOff("before the solid's end")
			} else {
				err = nil
			}
			a.info.Triangles = len(a.soup.m.Triangles)
			return a.soup.m, a.info, err
		}
		if err == nil {
			open, err = a.statement(word, open)
		}
		if err != nil {
			return nil, a.info, a.wrap(err)
		}
	}
}

// statement reads one statement at the level of solids and facets.
func (a *asciiSTL) statement(word string, open bool) (bool, error) {
	switch word {
	case "solid":
		name, err := a.rest()
		a.info.Solids = append(a.info.Solids, name)
		return true, err
	case "facet":
		if len(a.soup.m.Triangles) >= a.in.limits.Triangles {
			return open, a.in.tooMany(a.at())
		}
		return open, a.facet()
	case "endsolid":
		_, err := a.rest()
		return false, err
	}
	return open, a.in.fail(a.at(), fmt.Sprintf("%s stands where a facet or the end of the solid should", short(word)),
		"export it again, as binary STL if the program can")
}

func (a *asciiSTL) facet() error {
	if err := a.expect("normal"); err != nil {
		return err
	}
	for range 3 {
		if _, err := a.inside(); err != nil {
			return err
		}
	}
	if err := a.expect("outer", "loop"); err != nil {
		return err
	}
	var corner [3]r3.Vec
	for k := range corner {
		if err := a.expect("vertex"); err != nil {
			return err
		}
		var c [3]float64
		for i := range c {
			word, err := a.inside()
			if err != nil {
				return err
			}
			if c[i], err = a.in.number(word); err != nil {
				return placed(err, a.at())
			}
		}
		var err error
		if corner[k], err = a.in.vec(c[0], c[1], c[2]); err != nil {
			return placed(err, a.at())
		}
	}
	if err := a.expect("endloop", "endfacet"); err != nil {
		return err
	}
	a.soup.triangle(corner[0], corner[1], corner[2])
	return nil
}

// inside reads a word that must be there as a facet is still open.
func (a *asciiSTL) inside() (string, error) {
	word, err := a.word()
	if err == io.EOF {
		return "", a.cutOff("inside a triangle")
	}
	return word, err
}

func (a *asciiSTL) expect(want ...string) error {
	for _, w := range want {
		word, err := a.inside()
		if err != nil {
			return err
		}
		if word == "vertex" && w == "endloop" {
			return a.in.fail(a.at(), "a facet with more than three corners, but STL knows triangles only", "export it again")
		}
		if word != w {
			return a.in.fail(a.at(), fmt.Sprintf("%s stands where %q should", short(word), w), "export it again, as binary STL if the program can")
		}
	}
	return nil
}

func (a *asciiSTL) cutOff(where string) error {
	return a.in.fail(a.at(), fmt.Sprintf("the file ends %s, after %d whole triangles", where, len(a.soup.m.Triangles)),
		"it is cut off: export or copy it again")
}

// wrap names the file in errors of the stream.
func (a *asciiSTL) wrap(err error) error { return a.in.wrap(a.at(), err) }

func (in *input) wrap(at string, err error) error {
	if _, ok := err.(*Error); ok {
		return err
	}
	return in.broken(at, err)
}
