package shapes
import ("testing";"fmt";"time")
func TestTryBig(t *testing.T){
 o := jagged(1000)
 t0:=time.Now()
 s, err := Extrude(o, 1, Easing{Roundover: 0.0005})
 fmt.Println(err, time.Since(t0)); t0=time.Now()
 if err!=nil {return}
 r, err := Take(s, drawnUp(ring(0.9,0,0.3), 3), 0)
 fmt.Println(err, time.Since(t0)); t0=time.Now()
 if err==nil { fmt.Println(r.volume, s.volume) }
 r, err = Take(s, cone(1, 3), 0.5)
 fmt.Println(err, time.Since(t0)); t0=time.Now()
 if err==nil { fmt.Println(r.volume, s.volume) }
 s = drawnUp(o,1)
 r, err = Hollow(s, 0.05,.1)
 fmt.Println(err, time.Since(t0))
}
