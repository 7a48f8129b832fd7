package engine

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"castwright/lang/program"
	"castwright/lang/value"
)

// Data is a column of typed values: the literals of a table. Open lists the rows, rising, that hold no value yet.
type Data struct {
	Column value.Column // numbers, texts or objects, without marks
	Open   []int32
	Ask    string // the name told for open rows, "pours.waste"
	Place  program.Place
}

// RowPut sets one row, from 0, of a cell that holds Data: to a value, or, where Open is set, to none.
type RowPut struct {
	ID    ID
	Row   int
	Value value.Column // of length one, without marks
	Open  bool
}

// soundData refuses a column of typed values that is not one.
func soundData(f *Formula) error {
	d := f.Data
	v := &d.Column
	if len(f.Inputs) > 0 || v.Fields != nil || v.Marks != nil || v.Rows != nil || v.All != 0 || classOf(v) == noClass {
		return fmt.Errorf("The column %s must hold numbers, texts or objects, and nothing else.", f.Name)
	}
	if !finite(v.Num) {
		return fmt.Errorf("The column %s holds a number that is not finite.", f.Name)
	}
	for i, row := range d.Open {
		if row < 0 || int(row) >= v.Len() || i > 0 && row <= d.Open[i-1] {
			return fmt.Errorf("The open rows of %s are not rows of it, in rising order.", f.Name)
		}
	}
	return nil
}

// noClass stands for a column that holds neither numbers nor texts nor objects, or more than one of them.
const noClass program.Class = program.Record

func classOf(v *value.Column) program.Class {
	switch {
	case v.Num != nil && v.Text == nil && v.Obj == nil:
		return program.Num
	case v.Num == nil && v.Text != nil && v.Obj == nil:
		return program.Text
	case v.Num == nil && v.Text == nil && v.Obj != nil:
		return program.Obj
	}
	return noClass
}

// soundRow refuses a row that cannot be set. taken tells the cells that the same edit puts or takes out.
func (j *Job) soundRow(p *RowPut, taken func(ID) bool) error {
	if p.ID < 0 || int(p.ID) >= len(j.nodes) || !j.nodes[p.ID].alive {
		return errors.New("There is no such cell whose row could be set.")
	}
	f := &j.nodes[p.ID].formula
	switch {
	case taken(p.ID):
		return fmt.Errorf("One edit sets the whole of %s or rows of it, not both.", f.Name)
	case f.Data == nil:
		return fmt.Errorf("The cell %s is no column of typed values.", f.Name)
	case p.Row < 0 || p.Row >= f.Data.Column.Len():
		return fmt.Errorf("The column %s has %d rows; there is no row %d.", f.Name, f.Data.Column.Len(), p.Row+1)
	case p.Open:
		return nil
	}
	v := &p.Value
	switch {
	case v.Fields != nil || classOf(v) != classOf(&f.Data.Column):
		return fmt.Errorf("The column %s holds values of another sort.", f.Name)
	case v.Len() != 1 || v.Marks != nil || v.All != 0:
		return fmt.Errorf("A row of %s takes one value.", f.Name)
	case !finite(v.Num):
		return fmt.Errorf("A row of %s takes a number that is finite.", f.Name)
	}
	return nil
}

// ownData gives the cells of an edit with columns that are the job's own, so that a row can be set in place.
func ownData(puts []Put) []Put {
	cloned := false
	for i := range puts {
		d := puts[i].Formula.Data
		if d == nil {
			continue
		}
		if !cloned {
			puts, cloned = slices.Clone(puts), true
		}
		own := *d
		own.Column, own.Open = ownColumn(d.Column), slices.Clone(d.Open)
		own.Column.N = own.Column.Len()
		for _, row := range own.Open {
			setCell(&own.Column, int(row), nil)
		}
		puts[i].Formula.Data = &own
	}
	return puts
}

// ownColumn copies all that a column holds and that may be changed in place.
func ownColumn(v value.Column) value.Column {
	v.Num, v.Text, v.Obj, v.Marks = slices.Clone(v.Num), slices.Clone(v.Text), slices.Clone(v.Obj), slices.Clone(v.Marks)
	v.Fields = slices.Clone(v.Fields)
	for f := range v.Fields {
		v.Fields[f] = ownColumn(v.Fields[f])
	}
	return v
}

// setCell sets a row of a column to a single value; to nothing where there is none.
func setCell(v *value.Column, row int, x *value.Column) {
	var empty value.Column
	if x == nil {
		x = &empty
	}
	switch {
	case v.Num != nil:
		v.Num[row] = 0
	case v.Text != nil:
		v.Text[row] = ""
	case v.Obj != nil:
		v.Obj[row] = nil
	}
	pick(v, row, x, 0)
}

// dataValue gives the value of a column of typed values. It shares its storage, so that both change at once.
func (j *Job) dataValue(f *Formula) value.Column {
	v := f.Data.Column
	for i, row := range f.Data.Open {
		setMark(&v, v.Len(), int(row), j.openMark(f, i))
	}
	return v
}

// openMark gives the mark of the open row that stands at a place among the open ones. The first few are told with their
// row; those that follow share one mark, so that a long column without values stays cheap.
func (j *Job) openMark(f *Formula, at int) value.Mark {
	d := f.Data
	name := d.Ask[strings.LastIndexByte(d.Ask, '.')+1:]
	x := Cause{State: value.Open, Kind: Waiting, Name: d.Ask, Cell: f.Name, Text: fmt.Sprintf("Waits for a value of %s.", name), Place: d.Place}
	if at < maxTold {
		x.Row = int(d.Open[at]) + 1
	}
	return j.causes.intern(x)
}

// putRows sets rows of columns in place. It cannot fail: the edit was checked before. What it did goes into the change.
func (j *Job) putRows(rows []RowPut, c *Change) {
	for i := range rows {
		p := &rows[i]
		n := &j.nodes[p.ID]
		c.Inverse.Rows = append(c.Inverse.Rows, inverseRow(p, n.formula.Data))
		j.putRow(p, n)
	}
	slices.Reverse(c.Inverse.Rows)
	for i := range rows {
		if n := &j.nodes[rows[i].ID]; !n.moved && n.tracks != nil && len(n.tracks.rows) > 0 {
			n.moved = true
			n.tracks.settle()
			c.Changed = append(c.Changed, rows[i].ID)
		}
	}
}

func inverseRow(p *RowPut, d *Data) RowPut {
	_, open := slices.BinarySearch(d.Open, int32(p.Row))
	back := RowPut{ID: p.ID, Row: p.Row, Open: open}
	if !open {
		back.Value = emptyLike(&d.Column, 1)
		pick(&back.Value, 0, &d.Column, p.Row)
	}
	return back
}

func (j *Job) putRow(p *RowPut, n *node) {
	d := n.formula.Data
	at, open := slices.BinarySearch(d.Open, int32(p.Row))
	if open && p.Open || !open && !p.Open && sameCell(&d.Column, p.Row, &p.Value, 0) {
		return
	}
	if len(n.track().rows) == 0 {
		j.tellBefore(p.ID, n)
	}
	n.tracks.rows = append(n.tracks.rows, int32(p.Row))
	if p.Open {
		setCell(&d.Column, p.Row, nil)
	} else {
		setCell(&d.Column, p.Row, &p.Value)
	}
	if open == p.Open {
		return
	}
	if p.Open {
		d.Open = slices.Insert(d.Open, at, int32(p.Row))
	} else {
		d.Open = slices.Delete(d.Open, at, at+1)
	}
	j.remarkData(n, p.Row, at)
}

// remarkData marks a column anew where the open row at a place among the others came or went. Another row may be told by
// its number now, or no longer.
func (j *Job) remarkData(n *node, row, at int) {
	d := n.formula.Data
	v := &n.value
	if len(d.Open) == 0 {
		v.Marks, n.mark = nil, 0
		return
	}
	if v.Marks == nil {
		v.Marks = make([]value.Mark, v.Len())
	}
	v.Marks[row] = 0
	for _, k := range [...]int{at, maxTold - 1, maxTold} {
		if k < len(d.Open) {
			r := d.Open[k]
			if mk := j.openMark(&n.formula, k); v.Marks[r] != mk {
				v.Marks[r] = mk
				n.tracks.rows = append(n.tracks.rows, r)
			}
		}
	}
	u := union{c: j.causes}
	for k := range min(len(d.Open), maxTold+1) {
		u.add(j.openMark(&n.formula, k))
	}
	n.mark = u.mark()
}

// sameCell tells whether row i of one column holds what row k of another does, marks left aside.
func sameCell(a *value.Column, i int, b *value.Column, k int) bool {
	switch {
	case a.Num != nil:
		return math.Float64bits(a.Num[i]) == math.Float64bits(b.Num[k])
	case a.Text != nil:
		return a.Text[i] == b.Text[k]
	case a.Obj != nil:
		x, y := value.Column{Obj: a.Obj[i : i+1]}, value.Column{Obj: b.Obj[k : k+1]}
		return x.Equal(&y)
	}
	return true
}

// checkData tells where a column of typed values and the value of its cell are apart.
func (j *Job) checkData(id ID, n *node) error {
	if n.formula.Data == nil {
		return nil
	}
	d, v := n.formula.Data, &n.value
	shared := len(v.Num) > 0 && &v.Num[0] == &d.Column.Num[0] || len(v.Text) > 0 && &v.Text[0] == &d.Column.Text[0] ||
		len(v.Obj) > 0 && &v.Obj[0] == &d.Column.Obj[0] || v.Len() == 0
	if fresh := j.dataValue(&n.formula); !shared || !fresh.Equal(v) {
		return fmt.Errorf("cell %d holds another column than its formula", id)
	}
	return nil
}
