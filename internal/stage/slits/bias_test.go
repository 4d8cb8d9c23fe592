package slits_test

import (
	"math"
	"os"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"laywright/internal/base/mesh"
	"laywright/internal/stage/slits"
	"laywright/internal/store/meshfile"
)

// A corner of the drafted box holds 82.16° (90°·(1 − cos 85°)), and the slit for it lets out
// what cloth does not take, however the yarns run: a ply on the bias takes one slit a corner
// too, and lies, though the model on which it is planned is coarser than the box.
func TestBiasPlyTakesASlitACorner(t *testing.T) {
	f, err := os.Open("../drape/testdata/gen_drafted_box.stl")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	box, _, err := meshfile.Read(f, f.Name(), 0.001, meshfile.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	fine, err := box.Refine(mesh.RefineLimits{Edge: 0.012})
	if err != nil {
		t.Fatal(err)
	}
	parts, err := slits.Parts(fine.Mesh)
	if err != nil || len(parts) != 1 {
		t.Fatal(len(parts), err)
	}
	p := &parts[0]
	hit, _ := p.Locator.Closest(r3.Vec{})
	p.Seed, p.Warp, p.Normal = hit.Point, r3.Vec{X: 1}, r3.Vec{Z: 1}
	const locking = 50 * math.Pi / 180
	k := slits.Ask{Angle: math.Pi / 4, Locking: locking, Limit: locking, Trifle: 1e-5 * p.Area}
	beds, err := p.Beds(t.Context(), k, nil)
	if err != nil || len(beds) != 1 {
		t.Fatal(len(beds), err)
	}
	routes, long := map[int]bool{}, 0.0
	for _, s := range beds[0].Slits {
		routes[s.Route] = true
		for i := 1; i < len(s.Left); i++ {
			long += r3.Norm(r3.Sub(beds[0].Top.Mesh.Vertices[s.Left[i]], beds[0].Top.Mesh.Vertices[s.Left[i-1]]))
		}
	}
	if len(routes) != 4 || len(beds[0].Locked(k.Limit, k.Trifle)) > 0 || beds[0].Doubled > 0 {
		t.Errorf("%d slits of %.3f m, %d places lock, %.2f cm² lie double", len(routes), long, len(beds[0].Locked(k.Limit, k.Trifle)), 1e4*beds[0].Doubled)
	}
	const corner = 0.123 // from the middle of a rounded corner over wall and flange to the rim, m
	if long > 1.2*4*corner {
		t.Errorf("slits of %.3f m on corners of %.3f", long, 4*corner)
	}
}
