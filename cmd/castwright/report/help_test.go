package report

import (
	"bytes"
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/check"
	"castwright/lang/kind"
	"castwright/stdlib"
)

func helper(t *testing.T) *Report {
	t.Helper()
	c, ms := check.New(stdlib.New())
	require.Empty(t, ms)
	return &Report{Checker: c, Out: io.Discard, Err: io.Discard}
}

func firstHits(r *reference, question string, n int) []string {
	var out []string
	for _, h := range r.find(strings.Fields(question)) {
		if len(out) < n {
			out = append(out, h.entry.name)
		}
	}
	return out
}

// What a maker asks, and its everyday word alone, lead to the rule within the first three. The questions, and which rule
// answers each, are common practice.
func TestEverydayQuestions(t *testing.T) {
	r := helper(t).reference()
	for _, q := range []struct{ question, word, rule string }{
		{"how heavy is it?", "heavy", "piece_mass"},
		{"how many bags", "bag", "bags"},
		{"will the master float", "float", "hold_down_force"},
		{"will the wall bow", "bow", "wall_deflection"},
		{"when can I strip", "strip", "age_for"},
		{"can I lift it alone", "lift", "lifting_limit"},
		{"how many moulds for the deadline", "deadline", "moulds_for"},
		{"what does it cost", "cost", "piece_cost"},
		{"how much rubber", "rubber", "rubber_volume"},
		{"how many boards", "board", "boards"},
		{"what joint", "joint", "shrunk_joint"},
		{"will the stack crush", "crush", "stack_height"},
		// Words of the yard, of other spellings, and in other forms.
		{"how wide a joint", "sealed", "movement_joint"},
		{"which mix", "mixes", "mix_design"},
		{"write a quote", "quotation", "quotation"},
		{"how many sheets of plywood", "sheet", "layers"},
		{"will it tip over", "tipping", "overturning_factor"},
		{"what weight is the piece", "weight", "piece_mass"},
		{"fiber for a mix", "fibers", "fibre_dose"},
		{"how much water", "water", "water"},
		{"what to order", "ordering", "to_order"},
		{"length of rebar", "rebar", "bar_mass"},
		{"how hot and windy may it be", "wind", "evaporation_rate"},
		{"sling of a crane", "crane", "sling_tension"},
		{"which holidays", "holiday", "working_days"},
		{"will it shrink", "shrinkage", "shrinkage_at"},
		{"how much glue", "glue", "glue_mass"},
		{"how big may the aggregate be", "aggregates", "largest_aggregate"},
	} {
		assert.Contains(t, firstHits(r, q.question, 3), q.rule, q.question)
		assert.Contains(t, firstHits(r, q.word, 3), q.rule, q.word)
	}
}

// Whatever stands in the reference is found by its own name.
func TestNamesAreFound(t *testing.T) {
	r := helper(t).reference()
	for _, e := range r.entries {
		assert.Contains(t, firstHits(r, e.name, 3), e.name)
	}
	assert.Empty(t, r.find([]string{"unobtainium"}))
}

// The families of the library are those that help tells about, and each has its rules; so with the groups of functions.
func TestFamilies(t *testing.T) {
	r := helper(t).reference()
	assert.Len(t, r.rules, len(families), "a rule is of a family that has no line in helpfamilies.go")
	assert.Len(t, r.funcs, len(groups), "a function is of a group that has no line in helpfamilies.go")
	seen := map[string]bool{}
	for _, f := range r.headings() {
		assert.NotEmpty(t, f.entries, f.name)
		assert.Regexp(t, `^[a-z]+$`, f.name, "a family is one word")
		assert.Regexp(t, `^[a-z].*[^.]$`, f.about, "what stands behind a colon")
		assert.False(t, seen[f.name], f.name)
		seen[f.name] = true
	}
}

func TestStems(t *testing.T) {
	for _, forms := range []string{"lift lifts lifted lifting", "strip strips stripped stripping", "mix mixes mixed mixing", "bag bags",
		"float floats floating", "heavy heavier heaviest", "quote quotes quoted quotation", "cure cures cured curing", "mould moulds mold",
		"mass masses", "bench benches", "box boxes", "deflect deflection", "dry dries dried", "press pressed pressing", "stress stresses",
		"drop dropped", "pour pours pouring", "density densities", "fibre fibers"} {
		first := ""
		for _, w := range strings.Fields(forms) {
			if first == "" {
				first = stem(w)
			}
			assert.Equal(t, first, stem(w), w)
		}
	}
	for _, pair := range [][2]string{{"mass", "mast"}, {"press", "price"}, {"gas", "gauge"}} {
		assert.NotEqual(t, stem(pair[0]), stem(pair[1]))
	}
}

// Kinds by their names in ISO 80000, in the plural, by quantities of the same dimension (ISO 80000-4: stress is a pressure,
// a moment of force has the dimension of energy), and by units.
func TestKindsOfWords(t *testing.T) {
	p := helper(t)
	pressure, _ := kind.Lookup("pressure")
	density, _ := kind.Lookup("density")
	energy, _ := kind.Lookup("energy")
	for words, want := range map[string]kind.Type{"pressure": kind.Quantity(pressure), "Pressures?": kind.Quantity(pressure), "kPa": kind.Quantity(pressure),
		"stress": kind.Quantity(pressure), "densities": kind.Quantity(density), "lb/ft^3": kind.Quantity(density), "moments": kind.Quantity(energy),
		"masses": kind.Quantity(kind.Of(kind.Mass)), "degC": {Form: kind.Point}, "solid": {Form: kind.Solid}, "dates": {Form: kind.Date}} {
		w, ok := p.kindOf(words)
		if assert.True(t, ok, words) {
			assert.True(t, w.fits(want), "%s is %s", words, w.name)
		}
	}
	for _, currency := range []string{"EUR", "USD"} {
		w, ok := p.kindOf("money")
		assert.True(t, ok && w.fits(kind.Quantity(kind.Money(currency))), currency)
	}
	for _, words := range []string{"", "bag", "way", "12", "kg]", "mix water", "kg\nm"} {
		_, ok := p.kindOf(words)
		assert.False(t, ok, words)
	}
}

// Each rule has a kind for what it gives, worked out from its example, and a result that the page shows.
func TestPagesAreWhole(t *testing.T) {
	p := helper(t)
	var out bytes.Buffer
	p.Out = &out
	r := p.reference()
	p.settle(r.entries)
	for _, e := range r.entries {
		for _, s := range e.gives {
			assert.True(t, s.known, "%s gives %s of a kind that is not known", e.name, s.name)
		}
		out.Reset()
		p.page(e)
		if e.rule != nil {
			for _, head := range []string{"about", "takes", "gives", "source", "example"} {
				assert.Regexp(t, regexp.MustCompile(`(?m)^  `+head+` +\S`), out.String(), e.name)
			}
			assert.Regexp(t, regexp.MustCompile(`(?m)^           = \S`), out.String(), e.name)
		}
	}
	shown, ok := p.compute("strength_at(11 * 365 d, 30 MPa) [1 MPa]")
	assert.True(t, ok)
	assert.Equal(t, "35 MPa (outside the range of strength_at)", shown, "30 * 4015/(4 + 0.85*4015) = 35.25, beyond ten years")
	_, ok = p.compute("strength_at(1 kg)")
	assert.False(t, ok)
}
