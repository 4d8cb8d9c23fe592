package plies

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"
	"time"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/bind"
	"laywright/internal/base/material"
	"laywright/internal/base/mesh"
	"laywright/internal/base/si"
)

func loadSTL(p string) *mesh.Mesh {
	b, err := os.ReadFile(p)
	if err != nil {
		panic(err)
	}
	n := int(binary.LittleEndian.Uint32(b[80:]))
	m := &mesh.Mesh{}
	at := map[[3]int64]int32{}
	f := func(i int) float64 { return float64(math.Float32frombits(binary.LittleEndian.Uint32(b[i:]))) / 1000 }
	for k := range n {
		var t [3]int32
		for c := range 3 {
			o := 84 + 50*k + 12 + 12*c
			v := r3.Vec{X: f(o), Y: f(o + 4), Z: f(o + 8)}
			key := [3]int64{int64(math.Round(v.X * 1e7)), int64(math.Round(v.Y * 1e7)), int64(math.Round(v.Z * 1e7))}
			i, ok := at[key]
			if !ok {
				i = int32(len(m.Vertices))
				at[key] = i
				m.Vertices = append(m.Vertices, v)
			}
			t[c] = i
		}
		if t[0] == t[1] || t[1] == t[2] || t[0] == t[2] {
			continue
		}
		m.Triangles = append(m.Triangles, t)
	}
	return m
}

func TestZ(t *testing.T) {
	fab := material.Fabric{Locking: material.Exactly(si.Degrees(50)), ShearWarn: material.Exactly(si.Degrees(40)), Width: material.Exactly(si.Length(1.27)), MinRadius: material.Exactly(si.Length(.004))}
	for _, n := range []string{"/work/shared/checks/jobs/hemisphere-100", "/work/shared/checks/jobs/cylinder-r60", "/work/shared/checks/jobs/paraboloid", "/work/shared/checks/jobs/plate-400", "/work/shared/reference/meshes/gen_drafted_box", "/work/shared/reference/meshes/gen_s_duct_half", "/work/shared/reference/meshes/gen_fairing_half", "/work/shared/reference/meshes/gen_hemisphere_flange"} {
		m := loadSTL(n + ".stl")
		in := Input{Surface: m, Spec: Spec{Warp: bind.Direction{V: r3.Vec{X: 1}}}}
		for i, a := range []float64{0, 45, 45, 0} {
			in.Plies = append(in.Plies, PlyIn{Number: i + 1, Name: "twill", Angle: si.Degrees(a), Fabric: fab})
		}
		t0 := time.Now()
		r, err := Lay(context.Background(), in)
		fmt.Println(n, time.Since(t0), err)
		if err != nil {
			continue
		}
		fmt.Println("  seed", r.Seed, r.SeedFrom, "cloth", r.ClothArea, "surface", m.Area()*4)
		for _, p := range r.Plies[:2] {
			fmt.Printf("  ply %d max %.2f p99 %.2f locked %.4f warn %.4f off %.2f steps %d res %.1e pieces %d area %.6f outline %d net %d holes %d\n", p.Number, p.ShearMax.Degrees(), p.ShearP99.Degrees(), p.Locked, p.Warning, p.Turned, p.Laid.Steps, p.Laid.Residual, len(p.Pieces), p.Pieces[0].Area, len(p.Pieces[0].Outline), len(p.Pieces[0].Net), len(p.Pieces[0].Cutouts))
		}
		for _, f := range r.Findings {
			v, l := 0., 0.
			if f.Value != nil {
				v, l = *f.Value, *f.Limit
			}
			fmt.Printf("    %s %s: %s | %s (%.3g / %.3g %s)\n", f.Severity, f.Code, f.What, f.Do, v, l, f.Unit)
		}
		b, err := json.Marshal(r)
		fmt.Println(len(b), err)
	}
}
