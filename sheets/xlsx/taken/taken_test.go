package taken_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/sheets"
	"castwright/sheets/xlsx/read"
	"castwright/sheets/xlsx/taken"
	"castwright/stdlib"
)

func newChecker(t testing.TB) *check.Checker {
	t.Helper()
	c, ms := check.New(stdlib.New())
	require.Empty(t, ms)
	return c
}

// f is a cell with a formula, its value and its number format.
type f struct {
	formula string
	value   any
	format  string
}

// n is a number with its format.
type n struct {
	value  float64
	format string
}

// worksheet makes a worksheet of rows; nil is an empty cell.
func worksheet(name string, rows ...[]any) *read.Sheet {
	s := &read.Sheet{Name: name}
	for i, row := range rows {
		r := read.Row{Number: i + 1}
		for k, v := range row {
			if v == nil {
				continue
			}
			c := read.Cell{Col: k + 1, Row: i + 1}
			if x, ok := v.(f); ok {
				c.Formula, c.Format, v = x.formula, x.format, x.value
			}
			fill(&c, v)
			r.Cells = append(r.Cells, c)
		}
		if len(r.Cells) > 0 {
			s.Rows = append(s.Rows, r)
		}
	}
	return s
}

func fill(c *read.Cell, v any) {
	switch x := v.(type) {
	case nil:
	case string:
		c.Kind, c.Text = read.Text, x
		if strings.HasPrefix(x, "#") {
			c.Kind = read.Problem
		}
	case float64:
		c.Kind, c.Number = read.Number, x
	case int:
		c.Kind, c.Number = read.Number, float64(x)
	case bool:
		c.Kind, c.Truth = read.Truth, x
	case n:
		c.Kind, c.Number, c.Format = read.Number, x.value, x.format
	default:
		panic(fmt.Sprintf("no cell is made of %T", v))
	}
}

func row(cells ...any) []any { return cells }

func take(t testing.TB, w *read.Workbook) *taken.Result {
	t.Helper()
	c := newChecker(t)
	r, err := taken.Take(w, c)
	require.NoError(t, err)
	sound(t, c, r)
	return r
}

// sound asks that the sheets open without a mistake.
func sound(t require.TestingT, c *check.Checker, r *taken.Result) *sheets.Job {
	j := sheets.Memory(c, r.Texts...)
	for i, s := range j.Sheets {
		for _, m := range s.Messages() {
			assert.NotEqual(t, diag.Mistake, m.Level, "%s: %s\n%s", s.Name, m.Text, r.Texts[i].Text)
		}
		for _, c := range s.Cells() {
			assert.Less(t, j.State(c), value.Mistake, "%s: %s\n%s", s.Name, c.Name, r.Texts[i].Text)
		}
	}
	return j
}

func shown(t testing.TB, j *sheets.Job, sheet, name string) string {
	t.Helper()
	for _, s := range j.Sheets {
		if s.Name == sheet {
			c, ok := s.Find(name)
			require.True(t, ok, name)
			return show.Column(c.Spec, c.Type, j.Value(c))
		}
	}
	t.Fatalf("there is no sheet %s", sheet)
	return ""
}

func text(r *taken.Result) string {
	var b strings.Builder
	for _, x := range r.Texts {
		b.WriteString(x.Text)
	}
	return b.String()
}
