package show

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"castwright/lang/kind"
	"castwright/lang/value"
)

type edge struct{ length float64 }

func (e edge) Words(length func(float64) string) string { return "line of " + length(e.length) }

type disc struct{ d float64 }

func (d disc) Width() float64 { return d.d }
func (d disc) Depth() float64 { return d.d }

type block struct{ w, d, h float64 }

func (b block) Box() (width, depth, height float64) { return b.w, b.d, b.h }

func TestRuling19ListsAndRecords(t *testing.T) {
	length := kind.Quantity(kind.Of(kind.Length))
	weight := kind.Quantity(kind.Of(kind.Mass))
	text, place, shape := kind.Type{Form: kind.Text}, kind.Type{Form: kind.Place}, kind.Type{Form: kind.Outline}
	mix := kind.Type{Form: kind.Record, Fields: []kind.Field{{Name: "cement", Type: weight}, {Name: "water", Type: weight}, {Name: "kind", Type: text}, {Name: "steps", Type: length.ListOf()}}}
	mixSpec := &Spec{Form: kind.Record, Fields: []*Spec{of(kg), of(kg), nil, of(m)}}
	mixed := value.Record(value.One(12), value.One(5.25), value.Texts("dry"), value.Nums(1, 2))
	rows := value.Column{Fields: []value.Column{value.Nums(1, 2), value.Nums(1, 2), value.Texts("a", "b"), value.Nums(1, 2)}, N: 2}
	long := make([]float64, 200)
	cases := []struct {
		name string
		spec *Spec
		t    kind.Type
		c    value.Column
		want string
	}{
		{"single", of(m), length, value.One(2), "2 m"},
		{"list", of(m), length.ListOf(), value.Nums(1, 2, 3), "(1 m, 2 m, 3 m)"},
		{"list of one", of(m), length.ListOf(), value.Nums(4), "list(4 m)"},
		{"empty list", of(m), length.ListOf(), value.Nums(), "(no values)"},
		{"just not cut", &Spec{}, kind.Quantity(kind.One).ListOf(), value.Nums(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12), "(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12)"},
		{"cut", &Spec{}, kind.Quantity(kind.One).ListOf(), value.Nums(long...), "(0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, … (200 values))"},
		{"text", nil, text, value.Texts(`a 1/2" bolt`), `a 1/2" bolt`},
		{"texts", nil, text.ListOf(), value.Texts(`1/2" bolt`, "{a}"), `("1/2"" bolt", "{{a}")`},
		{"place", of(m), place, value.Objs(value.Place{X: 1, Y: 2}), "(1 m, 2 m)"},
		{"places", of(mm), place.ListOf(), value.Objs(value.Place{X: 1, Y: 2}, value.Place{}), "((1000 mm, 2000 mm), (0 mm, 0 mm))"},
		{"step of a path", &Spec{Form: kind.Step, Units: []Unit{mm}}, kind.Type{Form: kind.Step}, value.Objs(edge{0.3}), "line of 300 mm"},
		{"steps, of no unit", nil, kind.Type{Form: kind.Step, List: true}, value.Objs(edge{0.3}, edge{2}), "(line of 0.3, line of 2)"},
		{"outline", &Spec{Form: kind.Outline, Units: []Unit{mm}}, shape, value.Objs(disc{0.3}), "outline 300 mm by 300 mm"},
		{"solid", &Spec{Form: kind.Solid, Units: []Unit{mm}}, kind.Type{Form: kind.Solid}, value.Objs(block{0.3, 0.2, 0.095}), "solid 300 mm by 200 mm, 95 mm high"},
		{"record", mixSpec, mix, mixed, `cement 12 kg, water 5.25 kg, kind "dry", steps (1 m, 2 m)`},
		{"rows", mixSpec, mix.ListOf(), rows, "2 rows"},
		{"truths", &Spec{Form: kind.Truth}, kind.Type{Form: kind.Truth, List: true}, value.Nums(0, 1), "(no, yes)"},
		{"a list may hold what is not finite", of(m), length.ListOf(), value.Nums(1, math.NaN()), "(1 m, not a number)"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, Column(c.spec, c.t, &c.c)) })
	}
}

func TestColumnWithStates(t *testing.T) {
	length := kind.Quantity(kind.Of(kind.Length))
	states := func(m value.Mark) value.State { return value.State(m) }
	c := value.Nums(1, 2, 3, 4)
	c.Marks = []value.Mark{0, value.Mark(value.Flagged), value.Mark(value.Open), value.Mark(value.Mistake)}
	assert.Equal(t, "(1 m, 2 m, open, mistake)", ColumnWithStates(of(m), length.ListOf(), &c, states))
	whole := value.Column{Num: []float64{}, All: value.Mark(value.Mistake)}
	assert.Equal(t, "mistake", ColumnWithStates(of(m), length.ListOf(), &whole, states))
	single := value.One(1)
	single.Marks = []value.Mark{value.Mark(value.Open)}
	assert.Equal(t, "open", ColumnWithStates(of(m), length, &single, states))
	fields := value.Record(value.One(1), single)
	mix := kind.Type{Form: kind.Record, Fields: []kind.Field{{Name: "a", Type: length}, {Name: "b", Type: length}}}
	assert.Equal(t, "a 1 m, b open", ColumnWithStates(&Spec{Fields: []*Spec{of(m), of(m)}}, mix, &fields, states))
}
