package check

import (
	"encoding/binary"
	"fmt"
	"math"

	"castwright/lang/program"
)

// share gives the program of an equal formula where the sheet has one already. Programs hold no cell and no place, so
// that `a = x + 1` and `b = y + 1` are one.
func (s *Sheet) share(p *program.Program) *program.Program {
	if len(p.Code) > 64 {
		return p
	}
	for _, l := range p.Loops { // the key does not tell what they run for each row
		if l.Program != nil {
			return p
		}
	}
	for _, k := range p.Consts {
		if k.Value.Fields != nil || k.Value.Obj != nil {
			return p
		}
	}
	if s.programs == nil {
		s.programs = map[string]*program.Program{}
	}
	key := programKey(p)
	if old, ok := s.programs[key]; ok {
		return old
	}
	s.programs[key] = p
	return p
}

func programKey(p *program.Program) string {
	k := make([]byte, 0, 64+16*len(p.Code))
	put := func(x int64) { k = binary.AppendVarint(k, x) }
	put(int64(p.Inputs))
	put(int64(p.Out))
	for _, r := range p.Regs {
		list := int64(0)
		if r.List {
			list = 1
		}
		put(int64(r.Class)<<1 | list)
	}
	for _, c := range p.Consts {
		put(int64(c.Reg))
		for _, x := range c.Value.Num {
			k = binary.LittleEndian.AppendUint64(k, math.Float64bits(x))
		}
		for _, t := range c.Value.Text {
			put(int64(len(t)))
			k = append(k, t...)
		}
		put(int64(c.Value.Len()))
	}
	for _, in := range p.Code {
		put(int64(in.Op))
		put(int64(in.Out))
		put(int64(in.A))
		put(int64(in.B))
		put(int64(in.C))
		put(int64(in.Aux))
		put(int64(in.Place))
		k = binary.LittleEndian.AppendUint64(k, math.Float64bits(in.Factor))
		put(int64(len(in.Args)))
		for _, r := range in.Args {
			put(int64(r))
		}
	}
	// What is told besides the numbers is part of a program too.
	for _, f := range p.Funcs {
		k = fmt.Appendf(k, "%p;", f)
	}
	for _, l := range p.Loops { // of Scatter alone
		k = fmt.Appendf(k, "%v", l.At)
	}
	k = fmt.Appendf(k, "%q%v%v", p.Words, p.Accepts, len(p.Tests))
	for _, t := range p.Tests {
		k = fmt.Appendf(k, "%s|%s|%v|%v", t.Rule, t.Cond, t.Names, t.Regs)
		for _, sp := range t.Specs {
			k = fmt.Appendf(k, "%v", *sp)
		}
	}
	for _, t := range p.Templates {
		for _, pc := range t {
			k = fmt.Appendf(k, "%q%d", pc.Words, pc.Arg)
			if pc.Spec != nil {
				k = fmt.Appendf(k, "%v", *pc.Spec)
			}
		}
	}
	return string(k)
}
