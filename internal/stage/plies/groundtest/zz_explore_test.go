package groundtest

import (
	"fmt"
	"os"
	"runtime"
	"syscall"
	"testing"
	"time"

	"laywright/internal/base/mesh"
	"laywright/internal/base/mesh/shapes"
)

func cpu() time.Duration {
	var u syscall.Rusage
	syscall.Getrusage(syscall.RUSAGE_SELF, &u)
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

func TestExplore(t *testing.T) {
	only := os.Getenv("ONLY")
	for _, s := range shapes.Corpus() {
		if only != "" && only != s.Name {
			continue
		}
		if only == "" && s.Long {
			continue
		}
		m, rep := func() (*mesh.Mesh, mesh.Report) { m, r := cleaned(t, s.Make()); return m, r }()
		a, w := cpu(), time.Now()
		r, err := within(t, hang, input(t, m))
		var ms runtime.MemStats
		runtime.ReadMemStats(&ms)
		fmt.Printf("%-14s %6d tri comps %d cpu %.2f wall %.2f sys %d MB err=%v\n", s.Name, len(m.Triangles), rep.Components, (cpu() - a).Seconds(), time.Since(w).Seconds(), ms.Sys>>20, err)
		for _, p := range r.Plies {
			fmt.Printf("    ply %d shear max %.2f p99 %.2f locked %.2f cm2 pieces %d seams %d", p.Number, p.ShearMax.Degrees(), p.ShearP99.Degrees(), 1e4*float64(p.Locked), len(p.Pieces), len(p.Seams))
			for _, q := range p.Pieces {
				fmt.Printf(" [%s %.5f m2 n=%d]", q.Name, float64(q.Area), len(q.Outline))
			}
			fmt.Println()
		}
		fmt.Println("   ", codes(r))
	}
}
