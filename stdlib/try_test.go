package stdlib_test
import ("testing";"fmt";"castwright/stdlib";"castwright/lang/check";"castwright/lang/diag";"castwright/lang/show";"castwright/engine")
func TestTry(t *testing.T){
 c,ms:=check.New(stdlib.New())
 for _,m:=range ms{fmt.Print(m.Draw())}
 s:=c.Empty()
 for _,l:=range []string{`3/4 in * 6 [in]`,`5' 3 1/2" [mm]`,`80 lb / 0.6 ft^3 [kg/m^3]`,`23 degC - 5 K [degC]`,`1 m + 1 kg`,`strength_at(7 d, 30 MPa)`,`strength_at(7 d, 30 MPa, cement: "III")`,`bags(1 yd^3, 0.60 ft^3)`,`layers(95 mm, 18 mm)`,`extrude(shrink(sector(620 mm, 1050 mm, 36 deg), 2 mm), 95 mm, roundover: 6 mm).volume`,`hold_down_force(extrude(rectangle(600 mm, 400 mm), 95 mm), 750 kg/m^3, 1150 kg/m^3)`,`strength_at(0.5 d, 30 MPa)`,`strength_at(-1 d, 30 MPa)`,`sum(1 m, 2 m)`,`(1 m, 2 m, 3 m) where (1 m, 2 m, 3 m) > 1.5 m`,`sin(30)`,`100 + 10%`,`x^2`,`(3 m)^0.333`,`1/0`,`price_for_margin(60 USD, 140%)`,`"a {3 m [ft]}"`,`20 degC + 3 degC`,`5 Kg`,`strength_at(7 kg, 30 MPa)`,`strength_at(7 d, 30 mPa)`,`2027-03-01 + 28 d`,`2027-03-01 + 28 d [weekday]`,`if 3 > 2 then 1 m else 2 ft`,`otherwise(ln(2 - 2), 7)`,`0.1 + 0.2`,`5 ft 11 15/16 in + 1/16 in [ft, 1/16 in]`,`circle(1 m)`,`polygon((0 m, 0 m), (4 m, 0 m), (4 m, 3 m)).centroid`,`12 USD`,`12 USD + 3 EUR`,`430 [mm]`,`gravity`,`line_fit((1, 2, 3), (3, 5, 7))`, `2 gal`, `1 ton`, `strength_at((3 d, 7 d, 28 d), 30 MPa)`,`57000 psi^(1/2) * sqrt(4000 psi) [psi]`,`0.9 kg/m^2/h`,`5 W/(m^2*K)`,`1e308*10`,`mass <= 23 kg`, `45°`, `360 deg / 10`}{
  src:=&diag.Source{Name:"line",Text:l}
  cell,ms:=s.Line(src)
  fmt.Println("==",l)
  bad:=false
  for _,m:=range ms{fmt.Print(m.Draw()); bad=bad||m.Level==diag.Mistake}
  if bad {continue}
  j:=engine.New(); id:=j.Reserve(1)
  j.Apply(engine.Edit{Put:[]engine.Put{{ID:id[0],Formula:engine.Formula{Name:"line",Program:cell.Program,Places:cell.Places}}}})
  fmt.Println("   ",show.Column(cell.Spec,cell.Type,j.Value(id[0])),j.State(id[0]))
  for _,x:=range j.Causes(id[0]){fmt.Print(x.Message().Draw())}
 }
}
