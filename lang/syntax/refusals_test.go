package syntax_test

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/syntax"
)

var update = flag.Bool("update", false, "write the golden files anew")

// refused lists, for each ruling of the contract, what it refuses. Lines of a file are joined with a line end. The words
// that the contract quotes must stand in the message.
var refused = []struct {
	ruling int
	quoted string
	text   string
}{
	{1, "end the line above with it", "a = 1\n+ 2"},
	{1, "end the line above with it", "a = x\nand y"},
	{1, "", "a = (1 +\nsection \"x\""},
	{1, "", "a = f(1,\nb = 2"},
	{1, "", "a = 1 +"},
	{1, "", "title \"a"},
	{1, "", "titel \"a\""},
	{1, "", "a + b"},
	{1, "", "a.b = 3"},
	{1, "", "end"},
	{1, "", "table t\n  a | b"},
	{1, "", "a = 1 \x07"},
	{1, "", "a = 1 # \u202e"},
	{1, "", "a = \xff"},
	{1, "", "a = 1\rb = 2"},
	{2, "missing *?", "a = f (x)"},
	{2, "missing *?", "a = 2(a + b)"},
	{2, "missing *?", "a = 2 sin(30 deg)"},
	{2, "missing *?", "a = b c"},
	{2, "", "if = 3"},
	{2, "", "ask where [kg]"},
	{2, "", "2 bag = 80 lb"},
	{2, "", "°x = 3"},
	{2, "", "_x = 3"},
	{3, "m^-2", "a = 5 m-2"},
	{3, "", "a = 5 kg/m*s"},
	{3, "", "a = 5 kg/m*(s)"},
	{3, "", "a = 5 m^2.5"},
	{3, "", "a = 5 psi^(1/x)"},
	{3, "", "a = 5 m ²"},
	{4, "", "a = x/3/4 in"},
	{4, "", "a = x*3/4 in"},
	{4, "", "a = 2^3/4 in"},
	{4, "", "a = 0.5-1/4 in"},
	{4, "", "a = x-1/4 in"},
	{4, "", "a = 3/0 in"},
	{5, "", "a = 1-3/4\""},
	{5, "", "a = 1-3/4 in"},
	{5, "", "a = 5' 3"},
	{5, "", "a = 5' 3 1/2"},
	{5, "", "a = 5' -3\""},
	{5, "", "a = x'"},
	{7, "", "a = x/4 in"},
	{7, "", "a = volume/1 L"},
	{7, "", "a = x/1 3/4 in"},
	{7, "", "a = 80 lb/ h"},
	{7, "", "a = 80 lb /h"},
	{7, "", "a = 80 lb/ 2 h"},
	{7, "", "a = 360 deg/f(x)"},
	{7, "", "a = 360 deg/pours.n"},
	{8, "", "a = 1,000"},
	{8, "", "a = 1,250,000.5 mm"},
	{8, "", "a = 2,5"},
	{8, "", "a = 1.000,5"},
	{8, "", "a = f(1,2,3)"},
	{8, "", "a = 1 000 mm"},
	{8, "", "a = 1 250 mm"},
	{8, "", "a = 5."},
	{8, "", "a = 007"},
	{8, "", "a = 8 %"},
	{8, "", "a = 3 x 4"},
	{8, "", "a = 3x4 m"},
	{8, "", "a = 1_"},
	{8, "", "a = 1.2.3"},
	{8, "", "a = 1e400"},
	{8, "", "a = 1e-400 m"},
	{8, "", "a = $12"},
	{9, "", "a = 2027-3-1"},
	{9, "", "a = 2027-02-30"},
	{9, "", "a = 2027-03-01T7:30"},
	{9, "", "a = 2027-03-01T24:00"},
	{9, "", "a = 2027-03-01 14:30"},
	{9, "", "a = 2027-03-01T14:30Z"},
	{10, "", "a = +10 degC"},
	{10, "", "a = – 10 degC"},
	{15, "", "a = x [mm] + 3"},
	{15, "", "a = f(x [mm])"},
	{15, "", "a = x []"},
	{15, "", "a = x [1/8 in, ft]"},
	{15, "", "a = x [0 kg]"},
	{15, "", "a = [mm]"},
	{16, "", "a = b ± 3 mm"},
	{16, "", "a = 2 * 430 mm ± 3 mm"},
	{16, "", "a = (430 mm ± 3 mm) * 2"},
	{16, "", "a = 430 mm ± b"},
	{16, "", "a = 430 mm from 429 mm"},
	{16, "", "a = 430 mm ±s 1 mm (dof n)"},
	{17, "== compares", "check a: b = 3"},
	{17, "== compares", "a = if b = 3 then 1 else 2"},
	{17, "", "a = b =< c"},
	{17, "", "a = b <> c"},
	{17, "", "a = b < c > d"},
	{17, "", "a = b == c == d"},
	{17, "", "a = if b then c"},
	{17, "", "a = if b c else d"},
	{17, "", "a = 1 + if b then c else d"},
	{17, "", "a = b ! c"},
	{17, "", "a = 2**3"},
	{18, "", "a = f(x: 1, 2)"},
	{18, "", "a = f(x = 1)"},
	{18, "", "a = f(1,, 2)"},
	{18, "", "a = f(1, )"},
	{18, "", "a = f(1"},
	{19, "", "a = ()"},
	{19, "", "a = 1.5.x"},
	{19, "", "a = b. c"},
	{22, "", "a = \"b"},
	{22, "", "a = \"{b\""},
	{22, "", "a = \"{b"},
	{22, "", "a = \"{}\""},
	{22, "", "a = \"{f(\"x\")}\""},
	{22, "", "a = \"{3\"}\""},
	{22, "", "a = “b (c”"},
	{22, "", "a = 'b'"},
	{25, "", "table t\n  a | b\n  1 | 2 | 3\nend"},
	{25, "", "table t\n  a | b\n  1 | seat\nend"},
	{25, "", "table t\n  a | b\n  1 | 2 + 3\nend"},
	{25, "", "table t\n  a | \n  1 | 2\nend"},
	{25, "", "table t\n  5\nend"},
	{25, "", "table t from \"a.csv\"\n  a | b\n  1 | 2\nend"},
	{25, "", "table t from \"a.csv\" (3)"},
	{30, "", "rule r(a)\n  gives a\nend"},
	{30, "", "rule r(a)\n  about \"x\"\nend"},
	{30, "", "rule r(a)\n  give a\n  give a\nend"},
	{30, "", "rule r(a)\n  about \"x\"\n  about \"y\"\n  give a\nend"},
	{30, "", "rule r a\n  give a\nend"},
	{33, "", "a = 3 accept (b)"},
	{33, "", "ask a [kg] given 3 + 4"},
	{33, "", "system imperial"},
	{33, "", "part a from leg.sheet"},
	{33, "", "variant w (3 m)"},
	{33, "", "correlation a = 0.3"},
	{33, "", "count"},
	{33, "", "title x"},
	{38, "", "handout h\n  a + b\nend"},
}

func TestRefusals(t *testing.T) {
	var b strings.Builder
	for _, c := range refused {
		f := syntax.ReadFile("bench", c.text, isUnit)
		require.NotEmpty(t, f.Messages, c.text)
		fmt.Fprintf(&b, "== ruling %d: %s\n", c.ruling, strings.NewReplacer("\n", "⏎", "\r", "␍", "\x07", "␇", "\xff", "�", "\u202e", "�").Replace(c.text))
		for _, m := range f.Messages {
			b.WriteString(m.Draw())
			assert.NotEmpty(t, m.WayOut, c.text)
		}
		if c.quoted != "" {
			assert.Contains(t, f.Messages[0].Text+" "+f.Messages[0].WayOut, c.quoted, c.text)
		}
	}
	golden(t, "testdata/refusals.golden", b.String())
}

// golden compares with a file that was looked at by eye when it was written.
func golden(t *testing.T, name, got string) {
	t.Helper()
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(name, []byte(got), 0o644))
	}
	want, err := os.ReadFile(name)
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}
