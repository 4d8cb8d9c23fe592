package job

import (
	"laywright/internal/base/si"
	"laywright/internal/stage/laminate"
	"laywright/internal/stage/overlay"
	"laywright/internal/stage/strength"
)

// walls gives the strength check the wall that is laid: on each triangle the cloth of the
// pieces put back on the mould, with cores and measured plies, which lie everywhere,
// at their places between.
func (l link) walls(in *strength.Input) {
	cloth := l.plan.Plies.Relaid.Cloth
	var layers []int // by ply of cloth
	for i, layer := range l.plan.Laminate.Layers {
		if layer.Kind == laminate.Cloth {
			layers = append(layers, i)
		}
	}
	if len(cloth) == 0 {
		return
	}
	walls := overlay.Walls(cloth)
	in.Walls = make([][]strength.Part, len(walls))
	for f, parts := range walls {
		for _, p := range parts {
			in.Walls[f] = append(in.Walls[f], strength.Part{Share: p.Share, Lays: l.between(p.Bits, layers)})
		}
	}
	for ply, c := range cloth {
		for _, b := range c.Butts {
			in.Butts = append(in.Butts, strength.Butt{Face: int(b.Face), Layer: layers[ply], Along: b.Along})
		}
	}
}

// between lists cloth with the layers that lie everywhere.
func (l link) between(cloth []overlay.PlyBit, layers []int) (out []strength.Lay) {
	for i, layer := range l.plan.Laminate.Layers {
		if layer.Kind != laminate.Cloth {
			out = append(out, strength.Lay{Layer: i})
			continue
		}
		for len(cloth) > 0 && layers[cloth[0].Ply] == i {
			b := cloth[0]
			out = append(out, strength.Lay{Layer: i, Cloth: &strength.Cloth{Warp: b.Warp, Weft: b.Weft, Shear: si.Angle(b.Shear), Bulk: b.Bulk}})
			cloth = cloth[1:]
		}
	}
	return out
}
