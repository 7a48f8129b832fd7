package syntax_test

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/diag"
	"castwright/lang/syntax"
)

// read is one line and how it is read; shapes are written by shape. The rulings are those of the contract of the
// language; the lines that each of them refuses stand in refusals_test.go.
type read struct{ line, want string }

func accepted(t *testing.T, list []read) {
	t.Helper()
	for _, c := range list {
		t.Run(c.line, func(t *testing.T) {
			st, ms := line(c.line)
			require.Empty(t, ms)
			switch x := st.(type) {
			case *syntax.Line:
				assert.Equal(t, c.want, strings.TrimSpace(shape(x.Expr)+" "+shown(x.Shown)))
			case *syntax.Cell:
				assert.Equal(t, c.want, strings.TrimSpace(x.Name.Name+" = "+shape(x.Expr)+" "+shown(x.Shown)))
			default:
				t.Fatalf("%T", st)
			}
		})
	}
}

// names lists what stands in a file, a cell by its name, anything else by its type, a line that was refused as "bad".
func names(f *syntax.File) []string {
	var out []string
	for _, it := range f.Items {
		switch x := it.Statement.(type) {
		case nil:
			if it.Bad {
				out = append(out, "bad")
			}
		case *syntax.Cell:
			out = append(out, x.Name.Name)
		case *syntax.Table:
			out = append(out, "table "+x.Name.Name)
		case *syntax.Rule:
			out = append(out, "rule "+x.Name.Name)
		case *syntax.Handout:
			out = append(out, "handout "+x.Name.Name)
		default:
			out = append(out, strings.ToLower(reflect.TypeOf(x).Elem().Name()))
		}
	}
	return out
}

func TestRuling01Lines(t *testing.T) {
	for _, c := range []struct {
		name, text string
		cells      []string
		messages   []string // line of the place, and the message
	}{
		{"one statement a line", "a = 1\nb = 2\n", []string{"a", "b"}, nil},
		{"a missing last line end", "a = 1\nb = 2", []string{"a", "b"}, nil},
		{"byte-order mark, CRLF, blank lines, comments", "\ufeffa = 1\r\n\r\n# comment\r\nb = 2 # note\r\n", []string{"a", "b"}, nil},
		{"an open bracket goes on", "a = (1 +\n  2\n)\nb = 2\n", []string{"a", "b"}, nil},
		{"a sign at the end goes on", "a = 1 +\n  2\nb = 1 *\n\n  # between\n  2\n", []string{"a", "b"}, nil},
		{"the comment behind the sign does not count", "a = 1 + # one\n  2\n", []string{"a"}, nil},
		{"then, else, and, or, not, where go on", "a = if x then\n1 else\n2\nb = x and\nnot\ny or\nz\nc = x where\ny\n", []string{"a", "b", "c"}, nil},
		{"a plus-minus goes on", "a = 430 mm ±\n 3 mm\n", []string{"a"}, nil},
		{"not past a statement word", "a = (1 +\nsection \"x\"\nb = 2\n", []string{"bad", "section", "b"}, []string{"1 This bracket is not closed."}},
		{"not past a name with =", "a = f(1,\nb = 2\n", []string{"bad", "b"}, []string{"1 This bracket is not closed."}},
		{"a sign that ends before a statement", "a = 1 +\nb = 2\n", []string{"bad", "b"}, []string{"1 A value is missing behind this."}},
		{"a rule's own bracket holds name =", "rule r(a [d],\n  b = 5%)\n  give a\nend\n", []string{"rule r"}, nil},
		{"a statement word is a name before ( . : = | ,", "a = (\ntitle.x +\ncount(x) + f(\npart: 3))\nsection = 3\ntable t\n  part | end\n  1 | 2\nend\n", []string{"a", "section", "table t"}, nil},
		{"each line is told by itself", "a = 1 +* 2\nb = 2\nc = (3\nd = 1,5 m\n", []string{"bad", "b", "bad", "bad"}, []string{"1 A value is expected here, not \"*\".", "3 This bracket is not closed.", "4 The decimal sign is a point."}},
		{"a block without its end", "table t\n  a | b\n  1 | 2\nsection \"x\"\n", []string{"table t", "section"}, []string{"1 This table has no end."}},
		{"a table without its end in a rule", "rule r(a)\n  table k\n    x | y\n    1 | 2\n  give a\nend\nb = 2\n", []string{"rule r", "b"}, []string{"2 This table has no end."}},
		{"an end of nothing", "end\na = 1\n", []string{"bad", "a"}, []string{"1 There is no rule, table or handout that this ends."}},
		{"a text does not span lines", "title \"a\nb = 2\n", []string{"bad", "b"}, []string{"1 This text is not closed on its line."}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := syntax.ReadFile("sheet", c.text, isUnit)
			assert.Equal(t, c.cells, names(f))
			assert.Equal(t, c.text, f.Print())
			var got []string
			for _, m := range f.Messages {
				n, _ := f.Source.Position(m.Span.From)
				got = append(got, string(rune('0'+n))+" "+m.Text)
			}
			assert.Equal(t, c.messages, got)
		})
	}
}

func TestRuling01Notes(t *testing.T) {
	f := syntax.ReadFile("sheet", "a = 1 # one\n# of its own\nb = (2 + # inner\n 3) # two\ntable t # head\n  x = 1 # formula\n  k | y # heading\n  1 | 2 # row\nend\n", isUnit)
	require.Empty(t, f.Messages)
	var notes []string
	for _, it := range f.Items {
		if it.Statement != nil {
			notes = append(notes, it.Note)
		}
	}
	assert.Equal(t, []string{"one", "two", "head"}, notes)
	table := f.Items[len(f.Items)-1].Statement.(*syntax.Table)
	assert.Equal(t, "formula", table.Formulas[0].Note)
	assert.Equal(t, "row", table.Rows[0].Note)
}

func TestRuling02Names(t *testing.T) {
	accepted(t, []read{
		{"h", "h"},
		{"bags * bags(3 m)", "(bags * bags({3 m}))"},
		{"größe_2 + Тест + 长度", "((größe_2 + Тест) + 长度)"},
		{"cafe\u0301 + caf\u00e9", "(caf\u00e9 + caf\u00e9)"}, // one name, typed in two ways (Unicode NFC)
		{"from + to + by + until + assume", "((((from + to) + by) + until) + assume)"},
		{"holds = with + live", "holds = (with + live)"},
		{"leg_parts.pours.pieces", "leg_parts.pours.pieces"},
		{"only(t where a == 1).b", "only((t where (a == {1}))).b"},
		{"f(x).area", "f(x).area"},
		{"f()", "f()"},
		{"iffy", "iffy"},
	})
}

func TestRuling03Units(t *testing.T) {
	accepted(t, []read{
		{"2350 kg/m^3", "{2350 kg/m^3}"},
		{"2350 kg/m3", "{2350 kg/m3}"}, // the power in the name is the catalogue's to read
		{"2350 kg/m³", "{2350 kg/m^3}"},
		{"5 s⁻¹", "{5 s^-1}"},
		{"12 N*m", "{12 N*m}"},
		{"12 N·m", "{12 N*m}"},
		{"5 W/(m^2*K)", "{5 W/(m^2*K)}"},
		{"5 W/(m^2 * K)", "{5 W/(m^2*K)}"},
		{"57000 psi^(1/2)", "{57000 psi^(1/2)}"},
		{"0.9 kg/m^2/h", "{9/10 kg/m^2/h}"},
		{"2 h^-1", "{2 h^-1}"},
		{"95mm", "{95 mm}"},
		{"430\u00a0mm + 430\u202fmm", "({430 mm} + {430 mm})"},
		{"5 µm", "{5 µm}"},
		{"20 °C", "{20 °C}"},
	})
}

func TestRuling04Fractions(t *testing.T) {
	accepted(t, []read{
		{"3/4 in", "{3/4 in}"},
		{"1 3/4 in", "{7/4 in}"},
		{"10/4 in", "{5/2 in}"},
		{"3/8\"", "{3/8\"}"},
		{"½ in", "{1/2 in}"},
		{"5½ in", "{11/2 in}"},
		{"1 ⅜\"", "{11/8\"}"},
		{"1 3/4", "{7/4}"},
		{"2/3", "({2} / {3})"},
		{"2/3^2", "({2} / ({3} ^ {2}))"},
		{"x^1/2", "((x ^ {1}) / {2})"},
		{"x^(1/2)", "(x ^ [({1} / {2})])"},
		{"x + 3/4 in", "(x + {3/4 in})"},
		{"x+3/4 in", "(x + {3/4 in})"},
		{"x - 3/4 in", "(x - {3/4 in})"},
		{"x / 3/4 in", "(x / {3/4 in})"},
		{"x/(3/4 in)", "(x / [{3/4 in}])"},
		{"x/f(3/4 in)", "(x / f({3/4 in}))"},
		{"-3/4 in", "{-3/4 in}"},
	})
}

func TestRuling05FeetAndInches(t *testing.T) {
	accepted(t, []read{
		{"5' 3 1/2\"", "{5' 7/2\"}"},
		{"5'-3 1/2\"", "{5' 7/2\"}"},
		{"5′ 3½″", "{5' 7/2\"}"},
		{"5’ 3”", "{5' 3\"}"},
		{"5'", "{5'}"},
		{"3/8\"", "{3/8\"}"},
		{"-5' 3\"", "{-5' 3\"}"},
		{"5' - 3\"", "({5'} - {3\"})"},
		{"5'- 3\"", "({5'} - {3\"})"},
	})
}

func TestRuling06UnitsOfOneKind(t *testing.T) {
	accepted(t, []read{
		{"6 ft 2 3/8 in", "{6 ft 19/8 in}"},
		{"2 h 30 min", "{2 h 30 min}"},
		{"4 lb 6 oz", "{4 lb 6 oz}"},
		{"-6 ft 2 in", "{-6 ft 2 in}"},
		{"6 ft + 2 in", "({6 ft} + {2 in})"},
		{"1 d 2 h 30 min * 2", "({1 d 2 h 30 min} * {2})"},
	})
}

func TestRuling07SpacedSigns(t *testing.T) {
	accepted(t, []read{
		{"80 lb / h", "({80 lb} / h)"},
		{"80 lb/h", "{80 lb/h}"},
		{"3 / 4 in", "({3} / {4 in})"},
		{"x/4in", "(x / {4 in})"},
		{"x / 4 in", "(x / {4 in})"},
		{"360 deg / segments", "({360 deg} / segments)"},
		{"360 deg/segments", "{360 deg/segments}"}, // refused by the checker, which knows what segments is
		{"10 m/(a*b)", "({10 m} / [(a * b)])"},
		{"10 m/(2)", "({10 m} / [{2}])"},
		{"10 m/2", "({10 m} / {2})"},
		{"10 W/(m*K) * x", "({10 W/(m*K)} * x)"},
		{"kg/m", "(kg / m)"},
	})
}

func TestRuling08Numbers(t *testing.T) {
	accepted(t, []read{
		{"1_000", "{1000}"},
		{".5", "{1/2}"},
		{"2.5e-3", "{1/400}"},
		{"1E3", "{1000}"},
		{"10%", "{10%}"},
		{"0.0", "{0}"},
		{"f(1, 2)", "f({1}, {2})"},
		{"3 * x", "({3} * x)"},
		{"3 m * 4 m", "({3 m} * {4 m})"},
		{"0e999", "{0}"},
	})
}

func TestRuling09Dates(t *testing.T) {
	accepted(t, []read{
		{"2027-03-01", "2027-03-01"},
		{"2027-03-01T14:30", "2027-03-01T14:30:00"},
		{"2027-03-01T14:30:15", "2027-03-01T14:30:15"},
		{"2028-02-29", "2028-02-29"}, // a leap year
		{"2027-03-01 + 3 d", "(2027-03-01 + {3 d})"},
		{"2027 - 3 - 1", "(({2027} - {3}) - {1})"},
		{"2027-3", "({2027} - {3})"},
		{"12027-3", "({12027} - {3})"},
	})
	// Seconds since 1970-01-01T00:00: 20 years of 365 days and 5 leap days to 1990 (from the calendar).
	st, ms := line("1990-01-01T00:01")
	require.Empty(t, ms)
	assert.Equal(t, int64((20*365+5)*86400+60), st.(*syntax.Line).Expr.(*syntax.DateLit).Seconds)
}

func TestRuling10Minus(t *testing.T) {
	accepted(t, []read{
		{"-10 degC", "{-10 degC}"},
		{"−10 degC", "{-10 degC}"},
		{"- 10 degC", "(- {10 degC})"},
		{"-(10 degC)", "(- [{10 degC}])"},
		{"-2^2", "(- ({2} ^ {2}))"},
		{"-2 * x", "({-2} * x)"},
		{"2^-1", "({2} ^ {-1})"},
		{"2^-2^2", "({2} ^ (- ({2} ^ {2})))"},
		{"x -3 mm", "(x - {3 mm})"},
		{"x - -3 mm", "(x - {-3 mm})"},
		{"-x^2", "(- (x ^ {2}))"},
		{"f(-3, -x)", "f({-3}, (- x))"},
		{"-5%", "{-5%}"},
	})
}

func TestRuling11Names(t *testing.T) {
	// Which names are units is the catalogue's; here a word behind a number is one, whatever its case and plural.
	accepted(t, []read{
		{"3 inches", "{3 inches}"},
		{"10 days", "{10 days}"},
		{"5 Kg", "{5 Kg}"},
	})
	_, ms := line("5 to")
	require.NotEmpty(t, ms, "a soft word is no unit")
}

func TestRuling15Shown(t *testing.T) {
	accepted(t, []read{
		{"x [0.1 kg]", "x [kg step 1/10]"},
		{"x [1/16 in]", "x [in step 1/16]"},
		{"x [1/16\"]", "x [in step 1/16]"},
		{"x [ft, 1/8 in]", "x [ft and in step 1/8]"},
		{"x [kg/m^3]", "x [kg/m^3]"},
		{"x [%]", "x [%]"},
		{"x [0.1%]", "x [% step 1/10]"},
		{"x [1]", "x [step 1]"},
		{"x [0.01]", "x [step 1/100]"},
		{"x [date]", "x [date]"},
		{"x [weekday]", "x [weekday]"},
		{"x [yes/no]", "x [yes/no]"},
		{"\"{x [1 kg]}\"", "<x [kg step 1]>"},
		{"y = x [m]", "y = x [m]"},
	})
}

func TestRuling16Limits(t *testing.T) {
	accepted(t, []read{
		{"x = 430 mm ± 3 mm", "x = {430 mm} ± {3 mm}"},
		{"x = 430 ± 3 mm", "x = {430} ± {3 mm}"},
		{"x = 430 mm ± 2%", "x = {430 mm} ± {2%}"},
		{"x = 430 mm +/- 3 mm", "x = {430 mm} ± {3 mm}"},
		{"x = 430 mm+/-3 mm", "x = {430 mm} ± {3 mm}"},
		{"x = 430 mm from 429 mm to 432 mm", "x = {430 mm} from {429 mm} to {432 mm}"},
		{"x = -5 degC from -8 degC to -1 degC", "x = {-5 degC} from {-8 degC} to {-1 degC}"},
		{"x = 430 mm ±s 1 mm", "x = {430 mm} ±s {1 mm}"},
		{"x = 430 mm ±s 1 mm (dof 18) [mm]", "x = {430 mm} ±s {1 mm} dof 18 [mm]"},
	})
}

func TestRuling17To21Expressions(t *testing.T) {
	accepted(t, []read{
		{"if a then b else c", "(if a then b else c)"},
		{"if a then b else if c then d else e", "(if a then b else (if c then d else e))"},
		{"a or b and not c == d", "(a or (b and (not (c == d))))"},
		{"1 d <= age <= 3650 d", "({1 d} <= age <= {3650 d})"},
		{"a ≠ b", "(a != b)"},
		{"a + b * c ^ d", "(a + (b * (c ^ d)))"},
		{"a ^ b ^ c", "(a ^ (b ^ c))"},
		{"a - b - c", "((a - b) - c)"},
		{"a / b * c", "((a / b) * c)"},
		{"a × b ÷ c − d", "(((a * b) / c) - d)"},
		{"x²", "(x ^ {2})"},
		{"(a + b)³", "([(a + b)] ^ {3})"},
		{"-x²", "(- (x ^ {2}))"},
		{"xs where a == b or c", "(xs where ((a == b) or c))"},
		{"xs where a where b", "((xs where a) where b)"},
		{"f(a, b: 3 m)", "f(a, b: {3 m})"},
		{"(1 m, 2 m, 3 m)", "list({1 m}, {2 m}, {3 m})"},
		{"(1 m)", "[{1 m}]"},
		{"not (a)", "(not [a])"},
		{"a and (b)", "(a and [b])"},
		{"if (a) then (b) else (c)", "(if [a] then [b] else [c])"},
		{"x where (a)", "(x where [a])"},
	})
}

func TestRuling22Texts(t *testing.T) {
	accepted(t, []read{
		{`"abc"`, `"abc"`},
		{`""`, `""`},
		{`"say ""so"""`, `"say \"so\""`},
		{`"{a}, {mass [1 kg]}"`, `<a>", "<mass [kg step 1]>`},
		{`"{{a}} }"`, `"{a}} }"`},
		{`"{f(a, b: 2 m)}"`, `<f(a, b: {2 m})>`},
		{`"# no comment" == x`, `("# no comment" == x)`},
		{`"5' 3"`, `"5' 3"`},
		{`"größe ½ “x”"`, `"größe ½ “x”"`},
		{`yes == no`, `(yes == no)`},
	})
}

// places takes the marks ‹ and › out of a line, and gives the places between them.
func places(text string) (string, []syntax.Span) {
	var b strings.Builder
	var out []syntax.Span
	for _, r := range text {
		switch r {
		case '‹':
			out = append(out, syntax.Span{From: b.Len()})
		case '›':
			out[len(out)-1].To = b.Len()
		default:
			b.WriteRune(r)
		}
	}
	return b.String(), out
}

// TestPlacesAndWaysOut judges what the golden file cannot: that a message marks the very place between ‹ and ›, the
// first of the line, and that a line written as its way out says is read. The readings are those of the rulings; that
// 1900 is no leap year is of the Gregorian calendar (ISO 8601).
func TestPlacesAndWaysOut(t *testing.T) {
	for _, c := range []struct {
		ruling  int
		line    string
		instead []string
	}{
		{1, "x = 3\n‹+› 4\ny = 5\n", []string{"x = 3 +\n4\n"}},
		{1, "x = 3\n  ‹-›4\n", []string{"x = 3 -\n4\n"}},
		{1, "x = 3\n‹×› 4\n", []string{"x = 3 ×\n4\n"}},
		{1, "x = a\n‹and› b\n", []string{"x = a and\nb\n"}},
		{1, "x = 3\n‹±› 4 mm\n", []string{"x = 3 ±\n4 mm\n"}},
		{1, "x = f‹(›3,\ny = 4\n", []string{"x = f(3)\ny = 4\n"}},
		{1, "x = ‹(›3 +\nsection \"Inputs\"\ny = 4\n", nil},
		{1, "x = 3 mm ‹[›in\ny = 4\n", []string{"x = 3 mm [in]\ny = 4\n"}},
		{1, "x = ((1 + 2) * ‹(›3\n", nil},
		{1, "x = 3 ‹+›\ny = 4\n", nil},
		{1, "‹3 mm›\n", []string{"x = 3 mm\n"}},
		{1, "x = ‹\"a›\n", []string{"x = \"a\"\n"}},
		{1, "rule r‹(›a [d],\n  b = 5%\n  give a\nend\nx = 1\n", nil},
		{2, `f ‹(›x)`, []string{`f * (x)`, `f(x)`}},
		{2, `2‹(›a + b)`, []string{`2*(a + b)`}},
		{2, `(a + b)‹(›c)`, []string{`(a + b)*(c)`}},
		{2, `‹if› = 3`, nil},
		{2, `‹yes› = 3`, nil},
		{2, `ask ‹not› [d]`, nil},
		{2, `‹_›a = 3`, []string{`a = 3`}},
		{2, `‹2›a = 3`, []string{`a2 = 3`, `1 bag = 80 lb`}},
		{2, `a ‹.›b`, []string{`a.b`}},
		{2, `a‹.› b`, []string{`a.b`}},
		{3, `0.9 ‹kg/m^2*h›`, []string{`0.9 kg/(m^2*h)`, `0.9 kg/m^2 * h`}},
		{3, `5 ‹W/m^2·K›`, []string{`5 W/(m^2*K)`, `5 W/m^2 * K`}},
		{3, `3 m‹-2›`, []string{`3 m^-2`, `3 m - 2`}},
		{3, `3 kg*m‹-2›`, []string{`3 kg*m^-2`, `3 kg*m - 2`}},
		{3, `3 m^‹1.5›`, []string{`3 m^(3/2)`}},
		{3, `3 m^‹(1/0)›`, nil},
		{3, `5 kg ‹m›`, []string{`5 kg * m`}},
		{4, `x‹/3/4› in`, []string{`x / 3/4 in`, `x / 3 / 4 in`}},
		{4, `x‹*3/4› in`, []string{`x * 3/4 in`, `x * 3 / 4 in`}},
		{4, `x‹^3/4› in`, []string{`x ^ 3/4 in`, `x ^ 3 / 4 in`}},
		{4, `x‹-3/4› in`, []string{`x - 3/4 in`, `x - 3 / 4 in`}},
		{4, `0.5‹-1/4› in`, []string{`0.5 - 1/4 in`, `0.5 - 1 / 4 in`}},
		{4, `3/‹0› in`, nil},
		{5, `‹1-3/4›"`, []string{`1 3/4"`, `1 - 3/4"`}},
		{5, `‹1-3/4› in`, []string{`1 3/4 in`, `1 - 3/4 in`}},
		{5, `5' ‹3›`, []string{`5' 3"`}},
		{5, `5'-‹3›`, []string{`5' 3"`}},
		{5, `5' ‹3 1/2›`, []string{`5' 3 1/2"`}},
		{5, `5' ‹-›3"`, []string{`5'-3"`, `5' - 3"`}},
		{6, `6 ft ‹2›`, []string{`6 ft 2 in`, `6 ft * 2`}},
		{6, `2 h ‹30›`, []string{`2 h 30 min`}},
		{6, `6 ft 2 in ‹3›`, nil},
		{7, `x‹/4 in›`, []string{`x / 4 in`, `(x/4) * 1 in`}},
		{7, `x ‹/4 in›`, []string{`x / 4 in`, `(x/4) * 1 in`}},
		{7, `80 lb‹/ h›`, []string{`80 lb/h`, `80 lb / h`}},
		{7, `80 lb ‹/h›`, []string{`80 lb/h`, `80 lb / h`}},
		{7, `80 lb‹* h›`, []string{`80 lb*h`, `80 lb * h`}},
		{7, `80 lb ‹÷h›`, []string{`80 lb/h`, `80 lb / h`}},
		{7, `80 lb‹/4 h›`, []string{`80 lb / 4 h`, `(80 lb/4) * 1 h`}},
		{7, `80 lb/‹f›(x)`, []string{`80 lb / f(x)`}},
		{7, `80 lb/‹piece›.volume`, []string{`80 lb / piece.volume`}},
		{8, `‹1,000›`, []string{`1000`, `1_000`}},
		{8, `‹1,250,000.5›`, []string{`1250000.5`, `1_250_000.5`}},
		{8, `‹2,5›`, []string{`2.5`}},
		{8, `f(‹2,5›)`, []string{`f(2.5)`, `f(2, 5)`}},
		{8, `‹1.000,5›`, []string{`1000.5`}},
		{8, `‹5.›`, []string{`5`, `5.0`}},
		{8, `‹007›`, []string{`7`}},
		{8, `‹8 %›`, []string{`8%`}},
		{8, `3 ‹x› 4`, []string{`3 * 4`}},
		{8, `3‹x4›`, []string{`3 * 4`}},
		{8, `‹1 000› mm`, []string{`1000 mm`, `1_000 mm`}},
		{8, `‹1_›`, []string{`1_000`}},
		{8, `‹1e400›`, nil},
		{8, `‹1.5.2›`, nil},
		{9, `‹2027-3-1›`, []string{`2027-03-01`, `2027 - 3 - 1`}},
		{9, `‹2027-02-29›`, []string{`2027-03-01`}},
		{9, `‹1900-02-29›`, nil}, // no leap year in the Gregorian calendar
		{9, `‹2027-13-01›`, nil},
		{9, `‹2027-03-01T25:00›`, nil},
		{9, `‹2027-03-01T7:30›`, []string{`2027-03-01T07:30`}},
		{9, `2027-03-01T14:30‹Z›`, []string{`2027-03-01T14:30`}},
		{10, `2 * ‹+›10 degC`, []string{`2 * 10 degC`}},
		{10, `f(‹+›3)`, []string{`f(3)`}},
		{10, `2 ‹-›`, nil},
		{11, `3 ‹bag›(2)`, []string{`3 * bag(2)`}},
		{11, `12 bags ‹kg›`, []string{`12 bags * kg`}},
		{16, `x ‹±› 3 mm`, []string{`depth = 430 ± 3 mm`}},
		{16, `2 * 430 mm ‹±› 3 mm`, nil},
		{16, `(430 mm ‹±› 3 mm)`, nil},
		{16, `f(430 mm ‹±› 3 mm)`, nil},
		{16, `430 mm ± 3 mm ‹+› 2 mm`, nil},
		{16, `430 mm ± 3 mm ‹±› 1 mm`, nil},
		{16, `430 mm ± ‹span›`, []string{`430 mm ± 3 mm`}},
		{16, `430 mm from 429 mm‹›`, []string{`430 mm from 429 mm to 432 mm`}},
		{16, `430 mm ±s 1 mm (dof‹)›`, []string{`430 mm ±s 1 mm (dof 18)`}},
		{22, `"{f(‹"›seat")}"`, []string{`"{f(kind)}"`}},
		{22, `"{5' 3‹"›}"`, []string{`"{length}"`}},
		{22, `‹"seat›`, []string{`"seat"`}},
		{22, `"{x‹›`, []string{`"{x}"`}},
		{22, `‹"{›}"`, []string{`"{x}"`, `"{{}"`}},
		{22, `"{x ‹y›}"`, []string{`"{x * y}"`}},
		{22, `"{x ‹=› 3}"`, []string{`"{x == 3}"`}},
		{22, `"{x ‹[›in}"`, []string{`"{x [in]}"`}},
		{22, `‹“›seat”`, []string{`"seat"`}},
		{22, `‹'›seat'`, []string{`"seat"`}},
		{22, `"a" ‹"b"›`, nil},
	} {
		text, want := places(c.line)
		t.Run(fmt.Sprintf("%d %q", c.ruling, text), func(t *testing.T) {
			messages := judged(c.ruling, text)
			require.GreaterOrEqual(t, len(messages), len(want))
			for i, at := range want {
				m := messages[i]
				got := syntax.Span{From: min(m.Span.From, len(text)), To: min(m.Span.To, len(text))}
				assert.Equal(t, at, got, m.Draw())
				assert.NotEmpty(t, m.WayOut)
			}
			for _, way := range c.instead {
				assert.Empty(t, judged(c.ruling, way), "no way out: %s", way)
			}
		})
	}
}

// judged reads a line as typed at the shell, or for ruling 1 a file.
func judged(ruling int, text string) diag.List {
	if ruling == 1 {
		return syntax.ReadFile("bench", text, isUnit).Messages
	}
	_, messages := line(text)
	return messages
}
