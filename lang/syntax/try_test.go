package syntax

import (
	"castwright/lang/diag"
	"fmt"
	"testing"
)

func TestTry(t *testing.T) {
	units := map[string]bool{"mm": true, "kg": true, "m": true, "in": true, "ft": true, "lb": true, "deg": true, "h": true, "d": true, "USD": true, "L": true, "psi": true, "W": true, "K": true, "s": true, "degC": true, "EUR": true, "bag": true, "cm": true, "N": true}
	is := func(s string) bool {
		if units[s] {
			return true
		}
		b := s
		for len(b) > 0 && b[len(b)-1] >= '0' && b[len(b)-1] <= '9' {
			b = b[:len(b)-1]
		}
		return units[b]
	}
	for _, l := range []string{`3/4 in * 6 [in]`, `5' 3 1/2" [mm]`, `80 lb / 0.6 ft^3 [kg/m^3]`, `x/4 in`, `80 lb/ h`, `80 lb /h`, `360 deg/segments`, `kg/m*s`, `5 kg/m*s`, `2(a + b)`, `f (x)`, `1-3/4"`, `1-3/4 in`, `5' 3`, `x/3/4 in`, `0.5-1/4 in`, `1,000`, `2,5`, `5.`, `007`, `8 %`, `3 x 4`, `2027-3-1`, `-2^2`, `-10 degC`, `5'-3 1/2"`, `430 ± 3 mm`, `430 mm ±s 1 mm (dof 18)`, `430 mm from 429 mm to 432 mm`, `a = b`, `if a == 3 then b`, `1 + 2 +`, `"{a}, {mass [1 kg]} {{x}}"`, `f(a, b: 3 m, 4)`, `m-2`, `5 m-2`, `2/3^2`, `57000 psi^(1/2)`, `5 W/(m^2*K)`, `5 m/(a*b)`, `0.9 kg/m^2/h`, `1 d <= age <= 3650 d`, `a == b == c`, `x^0.333`, `kg/m³`, `2350 kg/m³ * V`, `only(constants where constants.type == "I" and constants.b > 3).a [d]`, `mass = 45 kg accept "x" (strength_at, waste) [0.1 kg] # hello`, `ask bag_price [USD] assume 12 USD`, `1 bag = 80 lb`, `count pallet, pallets`, `check one: mass <= 23 kg else "no {mass}"`, `correlation a, b = 0.3`, `part x from library "mix" (a: 3 m)`, `variant w (t: 8 degC)`, `title 5`, `6 ft 2 3/8 in`, `a b`, `rule f(x [d], y = 5%)`, `"abc`, `x²`, `2 sin(30 deg)`, `$12`, `430 mm [1/16 in]`, `5 m [ft, 1/8 in]`, `(1 m, 2 m) where a > 3 or b < 4`} {
		src := &diag.Source{Name: "line 1", Text: l}
		st, note, ms := ReadLine(src, is)
		fmt.Println("==", l)
		if len(ms) > 0 {
			for _, m := range ms {
				fmt.Print(m.Draw())
			}
		} else {
			if ln, ok := st.(*Line); ok {
				fmt.Printf("   %T %s\n", ln.Expr, dump(ln.Expr))
			} else {
				fmt.Printf("   %T %q\n", st, note)
			}
		}
	}
}
func dump(e Expr) string {
	switch x := e.(type) {
	case *Quantity:
		s := ""
		if x.Neg {
			s = "-"
		}
		for _, p := range x.Parts {
			s += p.Number.Value.RatString()
			if p.Unit != nil {
				s += "[" + fmt.Sprint(len(p.Unit.Factors)) + "]"
			}
			s += p.Mark
		}
		return s
	case *Binary:
		return "(" + dump(x.X) + " " + x.Op + " " + dump(x.Y) + ")"
	case *Unary:
		return x.Op + "(" + dump(x.X) + ")"
	case *Name:
		return x.Name
	case *Filter:
		return "filter(" + dump(x.List) + "," + dump(x.Cond) + ")"
	case *Field:
		return dump(x.Of) + "." + x.Name.Name
	}
	return fmt.Sprintf("%T", e)
}
