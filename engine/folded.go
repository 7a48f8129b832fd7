package engine

import "castwright/lang/program"

// Folded gives a program in which what rests on constants alone is worked out, for who says programs in other words.
func Folded(p *program.Program) *program.Program {
	pl := &plan{p: p, consts: p.Consts}
	New().fold(pl)
	q := *p
	q.Code, q.Consts = pl.code, pl.consts
	return &q
}
