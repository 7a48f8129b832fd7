package check

import (
	"fmt"

	"castwright/lang/kind"
	"castwright/lang/program"
	"castwright/lang/syntax"
)

// currencyOf gives the currency that a shown bracket names, alone or in a compound (USD/m^3), or nothing.
func (b *builder) currencyOf(s *syntax.Shown) string {
	if s == nil || len(s.Units) != 1 {
		return ""
	}
	for _, f := range s.Units[0].Factors {
		if u, ok := b.s.c.lib.Unit(f.Name.Name); ok && f.Group == nil {
			if c, ok := u.Dim.Currency(); ok {
				return c
			}
		}
	}
	return ""
}

// toTarget brings the whole formula to the currency of its shown bracket.
func (b *builder) toTarget(x operand) operand {
	if b.target == "" || x.t.Form != kind.Number {
		return x
	}
	return b.toCurrency(x, b.target)
}

// toCurrency converts money of another currency where the job states the rate; rates are not chained (ruling 14). What
// cannot be converted is left as it is, to be refused as a mismatch of kinds.
func (b *builder) toCurrency(x operand, to string) operand {
	if x.t.Form != kind.Number {
		return x
	}
	var from kind.Named
	for _, n := range x.t.Dim.Named() {
		if n.Money && n.Name != to {
			if from.Name != "" {
				return x
			}
			from = n
		}
	}
	if from.Name == "" {
		return x
	}
	op := program.Mul
	c, times, ok := b.s.findRate(from.Name, to)
	if !ok {
		return x
	}
	if !times {
		op = program.Div
	}
	unitFrom, _ := kind.Money(from.Name).Pow(from.Exp)
	unitTo, _ := kind.Money(to).Pow(from.Exp)
	d, err := x.t.Dim.Div(unitFrom)
	if err == nil {
		d, err = d.Mul(unitTo)
	}
	if err != nil {
		return x
	}
	rate := b.input(input{c, false})
	rateReg := operand{reg: rate, t: kind.Quantity(kind.One), at: x.at}
	if from.Exp != kind.Int(1) {
		rateReg = b.emit(program.Instr{Op: program.PowConst, A: rate, B: program.None, C: program.None, Factor: from.Exp.Float()}, rateReg.t, x.at)
	}
	t := kind.Quantity(d)
	t.List = x.t.List
	y := b.emit(lane(op, x.reg, rateReg.reg), t, x.at)
	return y
}

func (b *builder) currencyWay(x, y kind.Dim) string {
	p, _ := x.Currency()
	q, _ := y.Currency()
	if _, _, ok := b.s.findRate(p, q); ok {
		return fmt.Sprintf("Say in what: put [%s] or [%s] at the end of the line.", p, q)
	}
	return fmt.Sprintf("State the rate, as 1 %s = 1.10 %s, and say in what: [%s] at the end of the line.", p, q, q)
}
