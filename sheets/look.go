package sheets

import (
	"encoding/binary"
	"fmt"
	"hash/maphash"
	"math"
	"slices"
	"strings"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/show"
	"castwright/lang/value"
)

// look is how a cell is shown at one time: its text, and that of each row of a column that is not too long.
type look struct {
	text string
	rows []string
	n    int    // rows
	sum  uint64 // of the values of a column that is too long, to tell it from others
}

// mostCompared is the longest column whose rows are compared one by one.
const mostCompared = 1000

// tag is the name under which a cell is told: that of a check without one is its condition.
func tag(c *check.Cell) string {
	switch {
	case c.Name != "":
		return c.Path()
	case c.Check != nil:
		return strings.TrimSuffix(c.Path(), c.Name) + "check " + c.Check.Text
	}
	return ""
}

func (j *Job) look(c *check.Cell) look {
	if c.Check != nil {
		return look{text: j.standing(c.Check)}
	}
	v, state := j.Value(c), j.State(c)
	l := look{n: v.Len()}
	is, ok := j.forms[engine.ID(c.ID)]
	if !ok {
		is = form{c.Type, c.Spec}
	}
	spec := is.spec
	if spec == nil {
		spec = &show.Spec{Form: is.kind.Form}
	}
	switch {
	case state == value.Mistake && (!is.kind.List || l.n == 0):
		l.text = "mistake"
		return l
	case state == value.Open && !is.kind.List:
		l.text = "open"
		return l
	case is.kind.List && len(v.Fields) == 0 && l.n <= mostCompared:
		for i := range l.n {
			l.rows = append(l.rows, show.ColumnWithStates(spec, is.kind.Elem(), v.Single(i), j.Engine.StateOf))
		}
		l.text = amount(l.n, "row")
	case is.kind.List:
		l.text, l.sum = amount(l.n, "row"), j.digest(v)
		if l.n > 0 && len(v.Fields) == 0 { // in what it is shown
			l.sum += digestOf(show.ColumnWithStates(spec, is.kind.Elem(), v.Single(0), j.Engine.StateOf))
		}
	default:
		l.text = show.Column(spec, is.kind, v)
	}
	if r := []rune(l.text); len(r) > 60 {
		l.text = string(r[:59]) + "…"
	}
	if state == value.Flagged && !is.kind.List {
		l.text += " (flagged)"
	}
	return l
}

// seed makes the digests of one run.
var seed = maphash.MakeSeed()

func digestOf(text string) uint64 { return maphash.String(seed, text) }

// digest tells the values of a column from others.
func (j *Job) digest(v *value.Column) uint64 {
	var h maphash.Hash
	h.SetSeed(seed)
	hashNumbers(&h, v.Num)
	for _, x := range v.Text {
		h.WriteString(x)
		h.WriteByte(0)
	}
	for _, x := range v.Obj {
		fmt.Fprint(&h, x)
	}
	for _, x := range v.Marks {
		h.WriteByte(byte(j.Engine.StateOf(x)))
	}
	for i := range v.Fields {
		maphash.WriteComparable(&h, j.digest(&v.Fields[i]))
	}
	return h.Sum64()
}

// hashNumbers hashes numbers by their bits, a block at a time: one by one they would cost several times as much.
func hashNumbers(h *maphash.Hash, xs []float64) {
	var block [8 * 512]byte
	for len(xs) > 0 {
		n := min(len(xs), len(block)/8)
		for i, x := range xs[:n] {
			binary.LittleEndian.PutUint64(block[8*i:], math.Float64bits(x))
		}
		h.Write(block[:8*n])
		xs = xs[n:]
	}
}

// standing tells how a check stands in words.
func (j *Job) standing(k *check.Check) string {
	switch r := j.judge(k); r.State {
	case Unknown:
		return "not known yet"
	default:
		return string(r.State)
	}
}

// shift notes a cell that is shown otherwise than before; of a column, the first row that is.
func (r *Report) shift(j *Job, c *check.Cell, old look, had bool) {
	if tag(c) == "" || c.Role == check.Rows && len(c.Columns) > 0 {
		return // a table is told by its columns
	}
	now := j.look(c)
	s := Shift{Cell: c, Path: tag(c), Was: old.text, Is: now.text}
	switch {
	case !had:
		s.Was = ""
	case old.n == now.n && old.rows != nil && now.rows != nil:
		if slices.Equal(old.rows, now.rows) {
			return
		}
		first, more := -1, 0
		for i := range now.rows {
			if now.rows[i] == old.rows[i] {
				continue
			}
			if first < 0 {
				first = i
			} else {
				more++
			}
		}
		s.Path = fmt.Sprintf("%s row %d", s.Path, first+1)
		s.Was, s.Is, s.More = old.rows[first], now.rows[first], more
	case old.text == now.text && old.sum == now.sum && (old.rows == nil || now.rows == nil):
		return
	}
	if s.Was == s.Is { // a column too long to be compared row by row
		s.Is = "other values"
	}
	r.Shifts = append(r.Shifts, s)
}
