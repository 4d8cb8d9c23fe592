package plies
import ("testing";"context";"math";"gonum.org/v1/gonum/spatial/r3")
func TestZZAdvice(t *testing.T){
 show:=func(name string,in Input){
 w,err:=newWork(in); if err!=nil {t.Fatal(err)}
 w.place(&Result{})
 laid,err:=w.layAll(context.Background()); if err!=nil {t.Fatal(err)}
 for i,p:=range in.Plies { ply:=w.cut(p,laid[i]); a:=w.advise(&ply,p,laid[i],w.hollows()); t.Log("==",name,p.Angle.Degrees()); for _,s:=range a.Steps {t.Logf("%s: %s  [%.3f->%.3f +%d] %.1f",s.Kind,s.What,s.From,s.To,len(s.Also),s.Shear.Degrees())} }
 }
 show("box60",Input{Surface:box(60*deg),Plies:stackOf(45,0,45)})
 show("upright",Input{Surface:lid(90*deg,0.08),Plies:stackOf(45,0)})
 show("dome",Input{Surface:dome(40,r3.Vec{X:0.1,Y:0.06},0.08,0.09),Plies:stackOf(45,0)})
 show("foot",Input{Surface:sheetOf(48, 48, func(s, t float64) r3.Vec {
		x, y := 0.3*(2*s-1), 0.3*(2*t-1)
		return r3.Vec{X: x, Y: y, Z: -min(0.1, max(0, math.Abs(x)-0.1, math.Abs(y)-0.1))}
	}),Plies:stackOf(45,0)})
 show("tight",Input{Spec:Spec{Slits:Slits{None:true}},Surface:box(60*deg),Plies:stackOf(30,0)})
}
