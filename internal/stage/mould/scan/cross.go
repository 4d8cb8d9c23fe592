package scan

import (
	"laywright/internal/base/mesh"
)

// uncrossRounds bounds how often crossing triangles are cut out, as the rim of
// what was cut out may cross too.
const uncrossRounds = 3

// uncross finds triangles that run through each other. Where holes are filled it
// cuts them out with their neighbours, if they are few, so that the fill closes
// the place; else they stay and are told.
func (w *work) uncross() error {
	for range uncrossRounds {
		found, all := mesh.NewLocator(w.m).Crossings(mostCrossings)
		w.out.Crossing, w.out.Uneasy = found, !all
		if len(found) == 0 || w.o.Fill == 0 || !all {
			return nil
		}
		if done, err := w.cutOut(found); err != nil || !done {
			return err
		}
	}
	found, all := mesh.NewLocator(w.m).Crossings(mostCrossings)
	w.out.Crossing, w.out.Uneasy = found, !all
	return nil
}

// cutOut takes out the triangles that cross and those at their corners.
func (w *work) cutOut(found []mesh.Crossing) (bool, error) {
	t, err := w.topology()
	if err != nil {
		return false, err
	}
	out := make([]bool, len(w.m.Triangles))
	area := 0.0
	for _, c := range found {
		for _, f := range c.Faces {
			for _, v := range w.m.Triangles[f] {
				for _, g := range t.VertexFaces(int(v)) {
					if !out[g] {
						out[g] = true
						area += w.m.FaceArea(int(g))
					}
				}
			}
		}
	}
	if area > crumbShare*w.m.Area() {
		return false, nil
	}
	rest := w.m.Extract(w.m.FacesWhere(func(f int) bool { return !out[f] })).Mesh
	if t, err = mesh.NewTopology(rest); err != nil {
		return false, err
	}
	w.did(Repair{What: "crossing triangles cut out, to be filled", Count: len(found), At: found[0].At, Area: -area})
	rest = rest.Extract(sheetsOf(t)[0].faces).Mesh
	if t, err = mesh.NewTopology(rest); err != nil {
		return false, err
	}
	w.m, _ = t.Untie()
	w.filled = make([]bool, len(w.m.Triangles))
	return true, nil
}
