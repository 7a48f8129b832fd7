package syntax_test
import ("testing";"fmt";"os";"strings")
func TestZZ(t *testing.T){
 b,_:=os.ReadFile("/tmp/h/lines.txt")
 for _,l:=range strings.Split(strings.TrimSpace(string(b)),"\n"){
  l=strings.ReplaceAll(l,"\\n","\n")
  st,ms:=line(l)
  fmt.Println("==",l)
  for _,m:=range ms{fmt.Print(m.Draw())}
  if len(ms)==0 {fmt.Printf("   OK %T\n",st)}
 }
}
