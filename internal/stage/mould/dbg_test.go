package mould
import ("testing";"fmt";"math")
func TestDbg(t *testing.T) {
	r := work(t, read(t, `mould: {solids: [{block: {size: {unit: mm, xyz: [120, 80, 50]}, at: {unit: mm, xyz: [0, 0, 0]}, draft: "5 deg", turn: "30 deg"}}]}`))
	m := r.Face
	for f, tr := range m.Triangles {
		a := m.Angles(f)
		if min(a[0],a[1],a[2])*180/math.Pi < 8 { for _, v := range tr { p := m.Vertices[v]; fmt.Printf("%d %.4f %.4f %.4f; ", v, p.X*1e3, p.Y*1e3,p.Z*1e3) }; fmt.Println() }
	}
}
