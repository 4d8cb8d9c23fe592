package mould

import (
	"errors"
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/fault"
	"laywright/internal/base/mesh"
	"laywright/internal/stage/mould/skin"
)

// covering is the mould's face and the part's surface in triangles.
type covering struct {
	whole, part skin.Made
	kinds       map[int32]Rim // the part's rims, by the number of their cutter
	o           skin.Options
}

// finer are the sizes tried, against the wanted one: where a face does not come
// out clean, smaller triangles tell apart what lies too near for larger ones.
var finer = [...]float64{1, 0.9, 0.8, 0.7, 0.6}

// unclean says that triangles of some size make no clean face.
type unclean struct{ at r3.Vec }

func (e *unclean) Error() string { return fmt.Sprintf("no clean face near %s", placeText(e.at)) }

// cover makes the face and the part, with finer triangles where it must.
func (b *shape) cover(in Input) (c covering, err error) {
	var bad *unclean
	for _, share := range finer {
		o, wrong := b.options(in.Mould, share)
		if wrong != nil && bad == nil {
			return c, wrong
		} else if wrong != nil {
			break
		}
		if c, err = b.coverAt(in, o); !errors.As(err, &bad) {
			return c, err
		}
	}
	return c, b.muddled(bad.at)
}

func (b *shape) coverAt(in Input, o skin.Options) (c covering, err error) {
	c.o = o
	work, err := b.face(in.Mould, o)
	if err != nil {
		return c, err
	}
	if c.whole, err = b.made(work); err != nil {
		return c, err
	}
	if err = b.sound(c.whole); err != nil {
		return c, err
	}
	if c.kinds, err = b.trim(in, work); err != nil {
		return c, err
	}
	c.part = c.whole
	if len(c.kinds) > 0 {
		work.Refine(resettle)
		c.part, err = b.made(work)
	}
	return c, err
}

// made returns a surface as it is, if it stands on the true one and does not run
// through itself.
func (b *shape) made(s *skin.Skin) (skin.Made, error) {
	m, err := s.Made()
	if off := (*skin.Off)(nil); errors.As(err, &off) {
		return m, &unclean{off.At}
	}
	if err != nil {
		return m, err
	}
	if len(m.Mesh.Triangles) == 0 {
		return m, &fault.Input{Field: "part.trim", What: "nothing of the mould's face is left", Do: "check the places of trim line and cut-outs"}
	}
	if f, _, found := mesh.NewLocator(m.Mesh).SelfCrossing(); found {
		return m, &unclean{m.Mesh.Centroid(f)}
	}
	return m, nil
}
