package syntax_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/syntax"
)

func TestFormat(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"signs", "x=a+b*-c\n", "x = a + b * -c\n"},
		{"powers", "x=a ^ 2+b²\n", "x = a^2 + b²\n"},
		{"a power behind a unit is arithmetic and stays it", "x=5 m ^2\n", "x = 5 m ^ 2\n"},
		{"brackets, calls, lists", "x = f( a ,b :3 )+( 1 ,2 m )\n", "x = f(a, b: 3) + (1, 2 m)\n"},
		{"words before brackets", "x = if(a) then(b) else(c)\n", "x = if (a) then (b) else (c)\n"},
		{"literals", "x = 95mm+6  ft 2   3/8in+5'  3 1/2\"\n", "x = 95 mm + 6 ft 2 3/8 in + 5' 3 1/2\"\n"},
		{"a joined hyphen", "x = 5'-3\"-5' - 3\"\n", "x = 5'-3\" - 5' - 3\"\n"},
		{"units", "x = 5 W/(m^2 * K) *  y\n", "x = 5 W/(m^2*K) * y\n"},
		{"a minus that is not the number's stays apart", "x = - 10 degC\ny = -10 degC\nz = - (y)\n", "x = - 10 degC\ny = -10 degC\nz = -(y)\n"},
		{"limits", "x=430±3 mm\ny=430 mm±s 1 mm  (dof 18)\n", "x = 430 ± 3 mm\ny = 430 mm ±s 1 mm (dof 18)\n"},
		{"texts keep their words", "x = \"a  b{ c [1kg] }  d\"\n", "x = \"a  b{c [1 kg]}  d\"\n"},
		{"a run of cells", "a=1[mm]# one\nlong_name=2+3 [ft,1/8in]\nb=4 #two\n\nc=5\n", "a         = 1      [mm]  # one\nlong_name = 2 + 3  [ft, 1/8 in]\nb         = 4            # two\n\nc = 5\n"},
		{"a long name does not push", "a = 1\na_name_that_is_longer_than_others = 2\n", "a = 1\na_name_that_is_longer_than_others = 2\n"},
		{"accept", "x=3 accept\"why\"(a,b.c)[mm]\n", "x = 3 accept \"why\" (a, b.c)  [mm]\n"},
		{"blank lines", "\n\na = 1\n\n\n\nb = 2\n\n\n", "a = 1\n\nb = 2\n"},
		{"comments", "   # one\n#two\na = 1 #three\n  b = 2 ## four\n", "# one\n#two\na = 1  # three\nb = 2  ## four\n"},
		{"lines that go on", "x = (1+\n# inside\n2 # two\n)\n", "x = (1 +\n    # inside\n    2  # two\n    )\n"},
		{"a table", "table t # head\na=b*2[mm]\nlong=3\nx[mm]|y\n1|\"a\" # row\n\n|2|\nend\n", "table t  # head\n  a    = b * 2  [mm]\n  long = 3\n  | x [mm] | y\n  | 1      | \"a\"  # row\n\n  | 2      |\nend\n"},
		{"a rule", "rule r(a[d],b=5%,\nxs[] [m])\nabout \"x\"\nneeds a>0\ntable k\nx|y\n1|2\nend\n# why\nrow=k.x\ngive c:a,d:row[m]\nend\n", "rule r(a [d], b = 5%,\n    xs[] [m])\n  about \"x\"\n  needs a > 0\n  table k\n    x | y\n    1 | 2\n  end\n  # why\n  row = k.x\n  give c: a, d: row [m]\nend\n"},
		{"facts of a rule", "rule r(a)\nabout \"x\"\ncaution \"y\"\ngive a\nend\n", "rule r(a)\n  about   \"x\"\n  caution \"y\"\n  give a\nend\n"},
		{"a handout", "handout h \"T\"\nx with note,live y\nend\n", "handout h \"T\"\n  x with note, live y\nend\n"},
		{"other statements", "check a:x<3 else\"no\"\npart p from\"a.sheet\"(x:3 m)\nvariant w(x:3 m)\ncorrelation a,b.c=0.3\ncount a,b\n1 bag=80 lb\nask x[kg]assume 3 kg\n", "check a: x < 3 else \"no\"\npart p from \"a.sheet\" (x: 3 m)\nvariant w (x: 3 m)\ncorrelation a, b.c = 0.3\ncount a, b\n1 bag = 80 lb\nask x [kg] assume 3 kg\n"},
		{"a line that cannot be read stays", "a=1\nb  =  (2\nc=3\n", "a = 1\nb  =  (2\nc = 3\n"},
		{"line ends and mark of the file", "\ufeffa=1\r\nb=2", "\ufeffa = 1\r\nb = 2\r\n"},
		{"nothing", "", ""},
		{"wide letters count two columns", "長=1 # a\nab=2 # b\n", "長 = 1  # a\nab = 2  # b\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := syntax.Format(syntax.ReadFile("sheet", c.text, isUnit))
			assert.Equal(t, c.want, got)
			holds(t, c.text)
		})
	}
}

// TestFormatOfTheContractsSheet keeps the canonical form of the sheet that opens the contract.
func TestFormatOfTheContractsSheet(t *testing.T) {
	f := syntax.ReadFile("bench", sheet, isUnit)
	require.Empty(t, f.Messages)
	golden(t, "testdata/bench.golden", syntax.Format(f))
	holds(t, sheet)
}

// TestOwnTexts reads the rules and sheets of the project: nothing is refused, nothing lost, and the canonical layout
// means the same.
func TestOwnTexts(t *testing.T) {
	var files []string
	for _, pattern := range []string{"../../stdlib/rules/*.rules", "../../sheets/examples/*/*.sheet", "../../sheets/library/*.sheet"} {
		found, err := filepath.Glob(pattern)
		require.NoError(t, err)
		files = append(files, found...)
	}
	require.NotEmpty(t, files)
	for _, name := range files {
		t.Run(filepath.Base(name), func(t *testing.T) {
			text, err := os.ReadFile(name)
			require.NoError(t, err)
			f := syntax.ReadFile(name, string(text), nil)
			for _, m := range f.Messages {
				t.Error(m.Draw())
			}
			again := syntax.ReadFile(name, syntax.Format(f), nil)
			assert.Equal(t, meaning(f), meaning(again))
			assert.Equal(t, string(text), f.Print())
		})
	}
}
