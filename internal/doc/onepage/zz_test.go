package onepage
import ("testing";"laywright/internal/doc/draw";"strings")
func TestZZ(t *testing.T){
 for n := range jobs { for _, sheet := range []draw.Sheet{draw.A4(), draw.Letter()} {
 p := makePlan(t, n)
 a := len(Page(p,sheet))
 p.Job.Name = strings.Repeat("Very long name ", 20); p.Job.Part=p.Job.Name
 b := len(Page(p,sheet))
 p.Findings=many(200,100)
 pg := Page(p,sheet)
 t.Log(n, sheet.Name, a,b,len(pg))
 if len(pg)>1 { for _, it := range pg[1].Layer(draw.Paper) { t.Logf("%T %v", it, it.Bounds()); if x,ok:=it.(draw.Text);ok {t.Log(x.String)} } }
 }}}
