package syntax_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/diag"
	"castwright/lang/syntax"
)

// The pieces of random texts: each can follow each, so that most lines are wrong in some way.
var pieces = []string{
	" ", "  ", "\n", "\r\n", "\n\n", "\t", "\u00a0", "# note\n", "#", "\ufeff",
	"x", "y", "piece", "mm", "kg", "h", "m3", "if ", "then ", "else ", "and ", "or ", "not ", "where ", "yes", "from ", "to ", "accept ", "given ", "assume ",
	"1", "0.5", "430", "3/4", "007", "1,000", "½", "²", "5'", "3\"", "8%", "1e3", "1_000", "2027-03-01", "2027-3-1", "2027-03-01T14:30",
	"+", "-", "*", "/", "^", "(", ")", "[", "]", "{", "}", ",", ".", ":", "=", "==", "<=", "≠", "|", "±", "±s", "×", "−", "$", "\"", "\"a\"", "\"{", "}\"", "“", "\x00", "\xff", "\u202e",
	"title ", "section ", "system us\n", "table t\n", "rule r(a)\n", "handout h\n", "check ", "part ", "variant ", "correlation ", "count ", "ask ", "end\n", "\nend\n",
	"x = 3 mm\n", "give a\n", "a | b\n", "1 | 2\n", "needs a > 0\n", "1 bag = 80 lb\n",
}

func randomText() *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string {
		return strings.Join(rapid.SliceOfN(rapid.SampledFrom(pieces), 0, 40).Draw(t, "pieces"), "")
	})
}

func TestReadingKeepsEveryByte(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		holds(t, randomText().Draw(t, "text"))
	})
}

// holds checks what must be true of every text whatever: nothing is lost, places lie inside the text, the canonical
// layout of a text is its own canonical layout and means the same.
func holds(t require.TestingT, text string) {
	f := syntax.ReadFile("sheet", text, isUnit)
	require.Equal(t, text, f.Print())
	at := 0
	for _, it := range f.Items {
		require.Equal(t, at, it.Span.From)
		require.Greater(t, it.Span.To, it.Span.From)
		at = it.Span.To
		if it.Statement != nil {
			inside(t, it.Statement.Where(), it.Span)
			syntax.Expressions(it.Statement, func(e syntax.Expr) {
				syntax.Walk(e, func(e syntax.Expr) { inside(t, e.Where(), it.Statement.Where()) })
			}, func(s *syntax.Shown) { inside(t, s.Span, it.Statement.Where()) })
		}
	}
	require.Equal(t, len(text), at)
	for _, m := range f.Messages {
		inside(t, m.Span, diag.Span{To: len(text) + 1})
		require.True(t, strings.HasSuffix(m.Text, "."), m.Text)
		require.NotContains(t, m.Text+m.WayOut, "lexer", "words of the parser")
		m.Draw()
	}
	laid := syntax.Format(f)
	again := syntax.ReadFile("sheet", laid, isUnit)
	require.Equal(t, meaning(f), meaning(again), laid)
	require.Equal(t, laid, syntax.Format(again))
	syntax.ReadLine(f.Source, isUnit)
	syntax.ScanUnits(text)
}

func inside(t require.TestingT, in, out diag.Span) {
	require.LessOrEqual(t, out.From, in.From)
	require.LessOrEqual(t, in.From, in.To)
	require.LessOrEqual(t, in.To, out.To)
}

// Generators of sound expressions and lines, with spacing of every sort.
func blank() *rapid.Generator[string] { return rapid.SampledFrom([]string{"", " ", "  "}) }

func literal() *rapid.Generator[string] {
	return rapid.SampledFrom([]string{
		"3", "0.5", "430 mm", "95mm", "3/4 in", "1 3/4 in", "1  3/4  in", "½ in", "5½ in", "5 ½\"", "5' 3 1/2\"", "5'  3\"", "5'-3 1/2\"", "3/8\"", "6 ft 2 3/8 in", "6 ft  2in",
		"8%", "2350 kg/m^3", "2350 kg/m³", "0.9 kg/m^2/h", "5 W/(m^2*K)", "5 W/(m^2 * K)", "57000 psi^(1/2)", "12 N·m", "2 h^-1", "20 degC", "2027-03-01", "2027-03-01T07:30", "yes", "no",
		"\"\"", "\"seat\"", "\"{x}, {piece.mass [0.1 kg]} {{\"", "\"a \"\"b\"\"\"",
	})
}

func expr(depth int) *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string {
		if depth == 0 {
			if rapid.Bool().Draw(t, "name") {
				return rapid.SampledFrom([]string{"x", "piece.mass", "pours.pieces", "h", "f(x)", "f()"}).Draw(t, "operand")
			}
			return literal().Draw(t, "literal")
		}
		e := func() string { return expr(rapid.IntRange(0, depth-1).Draw(t, "depth")).Draw(t, "inner") }
		b := func() string { return blank().Draw(t, "blank") }
		switch rapid.IntRange(0, 9).Draw(t, "form") {
		case 0:
			return "(" + b() + e() + b() + ")"
		case 1:
			return "(" + e() + b() + "," + b() + " " + e() + ")"
		case 2:
			return "f(" + e() + b() + "," + b() + " at" + b() + ":" + b() + e() + ")"
		case 3:
			return "-" + b() + e()
		case 4:
			return "not" + " " + b() + "(" + e() + ")"
		case 5:
			return "(if " + e() + " then " + e() + " else " + e() + ")"
		case 6:
			return "(" + e() + " where " + e() + ")"
		case 7:
			return e() + b() + rapid.SampledFrom([]string{"==", "<=", "≥", "!=", "<"}).Draw(t, "sign") + b() + e()
		default:
			return e() + b() + rapid.SampledFrom([]string{"+", "-", "*", "/", "^", "×", "−", " and ", " or "}).Draw(t, "sign") + b() + e()
		}
	})
}

func statement() *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string {
		e := func() string { return expr(rapid.IntRange(0, 3).Draw(t, "depth")).Draw(t, "expr") }
		b := func() string { return blank().Draw(t, "blank") }
		note := rapid.SampledFrom([]string{"", "# note", "  #note", " ## x", "#"}).Draw(t, "note")
		shown := rapid.SampledFrom([]string{"", "[kg]", " [0.1 kg]", "[ft,1/8 in]", " [ %]", "[1/16in]", "[date]", " [yes/no]"}).Draw(t, "shown")
		switch rapid.IntRange(0, 14).Draw(t, "form") {
		case 0:
			return "title \"a\"" + note + "\n"
		case 1:
			return "ask x" + shown + " assume " + e() + " given 3 kg" + note + "\n"
		case 2:
			return "1 bag" + b() + "=" + b() + "80 lb" + note + "\n"
		case 3:
			return "count pallet" + b() + "," + b() + "pallets" + note + "\n"
		case 4:
			return "table t" + note + "\n" + b() + "a =" + e() + shown + note + "\n   long_name" + b() + "=" + b() + e() + "\n" + b() + "x[mm]|y\n# inside\n 3|" + b() + "\"a\"\n\n|(" + e() + ")|\nend\n"
		case 5:
			return "rule r" + b() + "(a [d], b" + b() + "=" + b() + e() + ",\nxs[] [m])\nabout \"x\"\nneeds a>0" + note + "\ntable k\nx|y\n1|2" + note + "\nend\nrow" + b() + "=" + e() + "\ngive a:" + e() + ",b:" + b() + e() + shown + "\nend" + note + "\n"
		case 6:
			return "handout h \"T\"\nx with note,live y\npours.x where pours.a==\"A\"" + note + "\nend\n"
		case 7:
			return "check" + " " + rapid.SampledFrom([]string{"", "a:", "a : "}).Draw(t, "name") + e() + " else" + b() + "\"no {x}\"\n"
		case 8:
			return "part p from" + b() + "\"a.sheet\"" + b() + "(x:" + b() + e() + ")\n"
		case 9:
			return "variant w" + b() + "(x: 3 m,y: " + e() + ")\n"
		case 10:
			return "correlation a,b.c=0.3\n"
		case 11:
			return "\n\n# comment\n  # other\n"
		case 12:
			return "x" + b() + "=" + b() + "430 mm" + b() + rapid.SampledFrom([]string{"± 3 mm", "+/-2%", "±s 1 mm (dof 18)", " from 429 mm to 432 mm"}).Draw(t, "limits") + shown + note + "\n"
		case 13:
			return "x=" + e() + " +\n# inside\n\n" + e() + " *" + note + "\n" + e() + " accept \"why\"(a,b.c)" + shown + note + "\n"
		default:
			return rapid.SampledFrom([]string{"x", "a_long_name", "höhe"}).Draw(t, "name") + b() + "=" + b() + e() + shown + note + "\n"
		}
	})
}

// TestLayoutKeepsMeaning writes sound statements with spacing of every sort. What is refused among them (a slash tight
// on one side before a unit) stays as it is.
func TestLayoutKeepsMeaning(t *testing.T) {
	sound := 0
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOfN(statement(), 1, 6).Draw(t, "statements"), "")
		if rapid.Bool().Draw(t, "crlf") {
			text = strings.ReplaceAll(text, "\n", "\r\n")
		}
		holds(t, text)
		if f := syntax.ReadFile("sheet", text, isUnit); f.Messages.Mistakes() == 0 {
			sound++
		}
	})
	assert.Greater(t, sound, 5, "the generator must write sound sheets too")
}
