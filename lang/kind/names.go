package kind

import (
	"sort"
	"strings"
)

// Entry names a dimension that has a word of its own.
type Entry struct {
	Name string
	Dim  Dim
}

var (
	length   = Of(Length)
	mass     = Of(Mass)
	duration = Of(Time)
)

func dim(l, m, t int) Dim { return Make(map[Base]int{Length: l, Mass: m, Time: t}) }

// Entries lists the named kinds, the commonest first. Names are those of ISO 80000-3, -4 and -5; where one dimension
// has several quantities, the one that a maker of concrete pieces means.
var Entries = []Entry{
	{"number", One},
	{"length", length},
	{"area", dim(2, 0, 0)},
	{"volume", dim(3, 0, 0)},
	{"mass", mass},
	{"time", duration},
	{"density", dim(-3, 1, 0)},
	{"force", dim(1, 1, -2)},
	{"pressure", dim(-1, 1, -2)},
	{"energy", dim(2, 1, -2)},
	{"power", dim(2, 1, -3)},
	{"speed", dim(1, 0, -1)},
	{"acceleration", dim(1, 0, -2)},
	{"frequency", dim(0, 0, -1)},
	{"mass per length", dim(-1, 1, 0)},
	{"mass per area", dim(-2, 1, 0)},
	{"force per length", dim(0, 1, -2)},
	{"force per volume", dim(-2, 1, -2)},
	{"volume flow", dim(3, 0, -1)},
	{"mass flow", dim(0, 1, -1)},
	{"mass flow per area", dim(-2, 1, -1)},
	{"volume per mass", dim(3, -1, 0)},
	{"viscosity", dim(-1, 1, -1)},
	{"kinematic viscosity", dim(2, 0, -1)},
	{"second moment of area", dim(4, 0, 0)},
	{"momentum", dim(1, 1, -1)},
	{"temperature difference", Of(Temperature)},
	{"electric current", Of(Current)},
	{"amount of substance", Of(Amount)},
	{"luminous intensity", Of(Luminous)},
	{"electric charge", Make(map[Base]int{Current: 1, Time: 1})},
	{"electric voltage", Make(map[Base]int{Length: 2, Mass: 1, Time: -3, Current: -1})},
	{"electric resistance", Make(map[Base]int{Length: 2, Mass: 1, Time: -3, Current: -2})},
	{"coefficient of thermal expansion", Make(map[Base]int{Temperature: -1})},
	{"specific energy", dim(2, 0, -2)},
	{"heat capacity", Make(map[Base]int{Length: 2, Mass: 1, Time: -2, Temperature: -1})},
	{"thermal conductance", Make(map[Base]int{Length: 2, Mass: 1, Time: -3, Temperature: -1})},
	{"specific heat capacity", Make(map[Base]int{Length: 2, Time: -2, Temperature: -1})},
	{"heat flux", dim(0, 1, -3)},
	{"thermal conductivity", Make(map[Base]int{Length: 1, Mass: 1, Time: -3, Temperature: -1})},
	{"coefficient of heat transfer", Make(map[Base]int{Mass: 1, Time: -3, Temperature: -1})},
	{"molar mass", Make(map[Base]int{Mass: 1, Amount: -1})},
	{"molar energy", Make(map[Base]int{Length: 2, Mass: 1, Time: -2, Amount: -1})},
	{"molar heat capacity", Make(map[Base]int{Length: 2, Mass: 1, Time: -2, Temperature: -1, Amount: -1})},
	{"illuminance", Make(map[Base]int{Luminous: 1, Length: -2})},
	{"rate of temperature change", Make(map[Base]int{Temperature: 1, Time: -1})},
}

var byDim = func() map[Dim]string {
	out := map[Dim]string{}
	for _, e := range Entries {
		if _, ok := out[e.Dim]; !ok {
			out[e.Dim] = e.Name
		}
	}
	return out
}()

// Lookup finds a kind by its name.
func Lookup(name string) (Dim, bool) {
	for _, e := range Entries {
		if e.Name == name {
			return e.Dim, true
		}
	}
	return Dim{}, false
}

// String names the kind: a word where there is one ("pressure"), "money (EUR)", "count (pallet)", else its powers
// of the SI base units, "kg^2/m".
func (d Dim) String() string {
	if n, ok := byDim[d]; ok {
		return n
	}
	if c, ok := d.Currency(); ok {
		return "money (" + c + ")"
	}
	if c, ok := d.Counted(); ok {
		return "count (" + c + ")"
	}
	if s, ok := d.quotientName(); ok {
		return s
	}
	return d.Symbol()
}

// quotientName reads money per mass, mass per count and the like.
func (d Dim) quotientName() (string, bool) {
	var over []string
	var under []string
	for _, n := range d.Named() {
		word := "count (" + n.Name + ")"
		if n.Money {
			word = "money (" + n.Name + ")"
		}
		switch n.Exp {
		case Int(1):
			over = append(over, word)
		case Int(-1):
			under = append(under, word)
		default:
			return "", false
		}
	}
	rest := d
	rest.more = ""
	if !rest.IsOne() {
		if n, ok := byDim[rest]; ok && len(over) == 0 {
			over = append(over, n)
		} else if inv, err := rest.Pow(Int(-1)); err == nil {
			if n, ok := byDim[inv]; ok {
				under = append(under, n)
			} else {
				return "", false
			}
		}
	}
	if len(over) != 1 || len(under) != 1 {
		return "", false
	}
	return over[0] + " per " + under[0], true
}

var symbols = [bases]string{"m", "kg", "s", "A", "K", "mol", "cd"}

// Symbol writes the dimension in SI base units, "kg/(m*s^2)"; "1" for a plain number.
func (d Dim) Symbol() string {
	type factor struct {
		name string
		exp  Exp
	}
	var list []factor
	for _, b := range []Base{Mass, Length, Time, Current, Temperature, Amount, Luminous} {
		if !d.base[b].IsZero() {
			list = append(list, factor{symbols[b], d.base[b]})
		}
	}
	for _, n := range d.Named() {
		list = append(list, factor{n.Name, n.Exp})
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].exp.num > 0 && list[j].exp.num < 0 })
	var over, under []string
	for _, f := range list {
		e := f.exp
		target := &over
		if e.num < 0 {
			e.num = -e.num
			target = &under
		}
		s := f.name
		if e != Int(1) {
			s += "^" + e.String()
		}
		*target = append(*target, s)
	}
	switch {
	case len(over) == 0 && len(under) == 0:
		return "1"
	case len(under) == 0:
		return strings.Join(over, "*")
	case len(over) == 0:
		for i, f := range list {
			s := f.name + "^" + f.exp.String()
			list[i].name = s
			under[i] = s
		}
		return strings.Join(under, "*")
	case len(under) == 1:
		return strings.Join(over, "*") + "/" + under[0]
	}
	return strings.Join(over, "*") + "/(" + strings.Join(under, "*") + ")"
}
