package flat
import ("fmt")
func init(){ dbg = func(p Piece, b Sheet, c Cloth){ 
 d:=newDrawing(b,c); rims:=d.rims(); o:=outermost(rims); net,_,s:=untangled(rims[o].borders(d.beyond)); fmt.Println("net",net.Area(),net.Outer.Valid(),len(net.Holes),s)
 w,l,err:=d.grown(net,rims,o); fmt.Println(len(w),l,err); for _,x:=range w {fmt.Println("part",x.Area(),len(x.Holes))}
 sh,n:=cuttable(largest(w),net); fmt.Println("cuttable",sh.Area(),len(sh.Holes),len(n))
 c1:=closed(largest(w),leastNotch/2); fmt.Println("closed",c1.Area(),len(c1.Holes),c1.Outer.Valid())
 fmt.Println("out",Polygon(p.Outline).Area(),Polygon(p.Outline).Valid(),len(p.Holes))
} }
