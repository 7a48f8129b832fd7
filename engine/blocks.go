package engine

import (
	"slices"
	"sync"
	"sync/atomic"

	"castwright/lang/program"
	"castwright/lang/value"
)

// block is how many lanes go through a run of operations at a time, so that what is between two operations stays in the
// cache.
const block = 1024

// lanes is a run of operations on columns of numbers of one length. Its sources and results are kept in blocks: each
// register of the run has a buffer of one block, or, where it is read afterwards, a column of its own.
type lanes struct {
	code    []program.Instr
	lists   []program.Reg // columns from outside
	singles []program.Reg // single numbers from outside
	kept    []program.Reg // results that are read afterwards
	buffer  []int16       // for each register, its buffer; -1 where it has none
	buffers int
}

// lanesOf lays a run out. A buffer is used again when nothing of the run reads it any more.
func lanesOf(p *program.Program, code []program.Instr, after []bool) lanes {
	l := lanes{code: code, buffer: make([]int16, len(p.Regs))}
	last := make([]int, len(p.Regs)) // the last operation of the run that reads a register
	made := make([]bool, len(p.Regs))
	seen := make([]bool, len(p.Regs))
	for r := range l.buffer {
		l.buffer[r] = -1
	}
	for i := range code {
		for _, r := range [...]program.Reg{code[i].A, code[i].B, code[i].C} {
			if r < 0 {
				continue
			}
			last[r] = i
			switch {
			case made[r] || seen[r]:
			case p.Regs[r].List:
				l.lists = append(l.lists, r)
			default:
				l.singles = append(l.singles, r)
				l.buffer[r] = int16(l.buffers)
				l.buffers++
			}
			seen[r] = true
		}
		made[code[i].Out] = true
	}
	var free []int16
	for i := range code {
		out := code[i].Out
		if after[out] {
			l.kept = append(l.kept, out)
		} else if n := len(free); n > 0 {
			l.buffer[out], free = free[n-1], free[:n-1]
		} else {
			l.buffer[out] = int16(l.buffers)
			l.buffers++
		}
		for k, r := range [...]program.Reg{code[i].A, code[i].B, code[i].C} {
			again := r >= 0 && (k > 0 && r == code[i].A || k > 1 && r == code[i].B)
			if r >= 0 && !again && p.Regs[r].List && l.buffer[r] >= 0 && last[r] == i {
				free = append(free, l.buffer[r])
			}
		}
	}
	return l
}

// runBlocks carries a run out block by block. It gives up, so that the operations go one by one with their states, where
// a column has marks, lengths differ, a number is not finite, or a condition of a rule does not hold.
func (m *machine) runBlocks(l *lanes) bool {
	n := -1
	for _, r := range l.lists {
		v := &m.regs[r]
		if m.marked(r) || n >= 0 && v.Len() != n {
			return false
		}
		n = v.Len()
	}
	for _, r := range l.singles {
		if m.marked(r) {
			return false
		}
	}
	work := int64(len(l.code)) * int64(n)
	if n < 0 || m.j.steps+work > m.j.limit() {
		return false
	}
	for _, r := range l.kept {
		m.regs[r] = value.Column{Num: make([]float64, n), N: n}
	}
	if !m.share(l, n) {
		return false
	}
	for i := range l.code {
		in := &l.code[i]
		m.regs[in.Out].Rows = m.rowsOf(in.A, in.B, in.C)
	}
	m.j.steps += work
	return true
}

// shared is how many lanes a worker must have for it to be worth its start.
const shared = 32 * block

// share gives the blocks of a run to the cores. Each lane is worked out by itself, so that the result is the same to the
// last bit however many there are.
func (m *machine) share(l *lanes, n int) bool {
	workers := max(1, min(m.j.workers(), n/shared))
	for len(m.j.blocks) < workers*l.buffers {
		m.j.blocks = append(m.j.blocks, make([]float64, block))
	}
	if workers == 1 {
		return m.runBlocksOf(l, m.j.blocks, 0, n)
	}
	return m.shareAmong(workers, l, n)
}

func (m *machine) shareAmong(workers int, l *lanes, n int) bool {
	var failed atomic.Bool
	var wait sync.WaitGroup
	part := (n/workers/block + 1) * block
	for w := range workers {
		buffers := m.j.blocks[w*l.buffers : (w+1)*l.buffers]
		wait.Go(func() {
			if !m.runBlocksOf(l, buffers, w*part, min((w+1)*part, n)) {
				failed.Store(true)
			}
		})
	}
	wait.Wait()
	return !failed.Load()
}

// runBlocksOf carries a run out over the lanes from … to, block by block.
func (m *machine) runBlocksOf(l *lanes, buffers [][]float64, from, to int) bool {
	for _, r := range l.singles {
		b, x := buffers[l.buffer[r]], m.regs[r].Num[0]
		for i := range b {
			b[i] = x
		}
	}
	for ; from < to; from += block {
		if !m.runBlock(l, buffers, from, min(from+block, to)) {
			return false
		}
	}
	return true
}

func (m *machine) runBlock(l *lanes, buffers [][]float64, from, to int) bool {
	for i := range l.code {
		in := &l.code[i]
		var at [4][]float64
		for k, r := range [...]program.Reg{in.Out, in.A, in.B, in.C} {
			if r < 0 {
				continue
			}
			if b := l.buffer[r]; b >= 0 {
				at[k] = buffers[b][:to-from]
			} else {
				at[k] = m.regs[r].Num[from:to]
			}
		}
		if !kernel(m.p, in, at[0], at[1], at[2], at[3]) {
			return false
		}
	}
	return true
}

// kernel carries one operation out over lanes; false where a result is not finite or a condition of a rule does not hold.
// Sources that an operation does not have are nil.
func kernel(p *program.Program, in *program.Instr, out, a, b, c []float64) bool {
	a = a[:len(out)]
	if b != nil {
		b = b[:len(out)]
	}
	switch in.Op {
	case program.Neg, program.Lt, program.Le, program.If, program.Need, program.Hold:
		return compare(in.Op, out, a, b, c)
	case program.Add:
		for i := range out {
			out[i] = a[i] + b[i]
		}
	case program.Sub:
		for i := range out {
			out[i] = a[i] - b[i]
		}
	case program.Mul:
		for i := range out {
			out[i] = a[i] * b[i]
		}
	case program.Div:
		for i := range out {
			out[i] = a[i] / b[i]
		}
	case program.PowConst:
		for i := range out {
			out[i] = power(a[i], in.Factor)
		}
	default:
		if b == nil {
			b = a // the second source of an operation with one is not looked at
		}
		for i := range out {
			out[i] = lane(p, in, a[i], b[i])
		}
	}
	return finite(out)
}

// compare carries out the operations whose results are finite because their sources are.
func compare(op program.Op, out, a, b, c []float64) bool {
	switch op {
	case program.Neg:
		for i := range out {
			out[i] = -a[i]
		}
	case program.Lt:
		for i := range out {
			out[i] = truth(less(a[i], b[i]))
		}
	case program.Le:
		for i := range out {
			out[i] = truth(!less(b[i], a[i]))
		}
	case program.If:
		c = c[:len(out)]
		for i := range out {
			x := c[i]
			if a[i] != 0 {
				x = b[i]
			}
			out[i] = x
		}
	default: // the condition of a rule holds for all lanes, or the machine tells where it does not
		if slices.Contains(b, 0) {
			return false
		}
		copy(out, a)
	}
	return true
}

// finite tells whether all numbers are. Taken from itself, a number that is not leaves what is not 0.
func finite(xs []float64) bool {
	sum := 0.0
	for _, x := range xs {
		sum += x - x
	}
	return sum == 0
}
