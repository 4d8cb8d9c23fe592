package drape

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestQ(t *testing.T) {
	for _, k := range []float64{1, -.7} {
		for _, n := range []int{24, 48} {
			m := graph(0.9, n, func(x, y float64) float64 { return (x*x - k*y*y) / 2 })
			in := inputOn(t, m, r3.Vec{}, r3.Vec{X: 1})
			r := solved(t, in)
			wide, _ := skirted(in.Surface)
			net, _ := newNet(newSurface(wide), in.Seed, in.Warp, newSurface(in.Surface).edge)
			o := placeByNet(net).first(len(m.Vertices))
			fmt.Println(k, n, r.Covered, r.Steps)
			for v, p := range m.Vertices {
				a, b := p.X, -k*p.Y
				want := math.Asin(a * b / math.Sqrt((1+a*a)*(1+b*b)))
				d := (r.Shear[v] - want) / deg
				if (math.Abs(p.X-0.6) < 1e-6 || math.Abs(p.X+.45) < 1e-6 || math.Abs(p.X-.9) < 1e-6) && p.Y > 0.0 && math.Abs(math.Mod(p.Y+.00001, .15)) < .01 {
					u := (p.X*math.Sqrt(1+p.X*p.X) + math.Asinh(p.X)) / 2
					w := (b*math.Sqrt(1+b*b) + math.Asinh(b)) / 2 / (-k)
					fmt.Printf("%.3f %.3f want %.2f err %.2f known %v sure %v net shear %.2f  flat err %.5f %.5f net flat err %.5f %.5f stretch %.4f\n", p.X, p.Y, want/deg, d, o.known[v], o.sure[v], o.shear[v]/deg, r.Flat[v].X-u, r.Flat[v].Y-w, o.flat[v].X-u, o.flat[v].Y-w, r.Stretch[v])
				}
			}
			for i := 0; i < len(net.Nodes); i++ {
				p := net.Nodes[i]
				if p.I == p.J && p.I >= 0 {
					a, b := p.At.X, -k*p.At.Y
					want := math.Asin(a * b / math.Sqrt((1+a*a)*(1+b*b)))
					fmt.Printf(" node %d at %.3f %.3f err %.3f cells %d\n", p.I, p.At.X, p.At.Y, (p.Shear-want)/deg, p.Cells)
				}
			}
		}
	}
}
