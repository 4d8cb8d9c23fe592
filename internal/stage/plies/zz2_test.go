package plies

import (
	"context"
	"fmt"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"laywright/internal/base/bind"
	"laywright/internal/base/material"
	"laywright/internal/base/si"
)

func TestDuct(t *testing.T) {
	fab := material.Fabric{Locking: material.Exactly(si.Degrees(50)), ShearWarn: material.Exactly(si.Degrees(40)), Width: material.Exactly(si.Length(1.27)), MinRadius: material.Exactly(si.Length(.004))}
	for _, n := range []string{"/work/shared/reference/meshes/gen_s_duct_half", "/work/shared/reference/meshes/gen_fairing_half"} {
		m := loadSTL(n + ".stl")
		in := Input{Surface: m, Spec: Spec{Warp: bind.Direction{V: r3.Vec{X: 1}}}}
		for i, a := range []float64{0, 45} {
			in.Plies = append(in.Plies, PlyIn{Number: i + 1, Name: "twill", Angle: si.Degrees(a), Fabric: fab})
		}
		r, err := Lay(context.Background(), in)
		if err != nil { fmt.Println(err); continue }
		fmt.Println(n, r.Seed, r.SeedFrom)
		for _, p := range r.Plies {
			fmt.Printf("  ply %d max %.2f p99 %.2f locked %.4f warn %.4f off %.2f steps %d res %.1e area %.6f\n", p.Number, p.ShearMax.Degrees(), p.ShearP99.Degrees(), p.Locked, p.Warning, p.Turned, p.Laid.Steps, p.Laid.Residual, p.Pieces[0].Area)
		}
		for _, f := range r.Findings { fmt.Println("    ", f.Severity, f.What) }
	}
}
