package stdlib_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/check"
)

// checkedElsewhere are tests that visit every rule of the catalogue, and hold none of them against a figure.
var checkedElsewhere = []string{"catalogue_test.go", "lists_test.go", "checked_test.go"}

// Every rule is held against something outside the project: a test calls it and names, in a comment, a work that the
// source of the rule names. Where that is no published work, the comment says by what the figures were come to.
func TestEveryRuleIsChecked(t *testing.T) {
	entries, err := os.ReadDir(".")
	require.NoError(t, err)
	var tests []checkedTest
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), "_test.go") && !slices.Contains(checkedElsewhere, e.Name()) {
			text, err := os.ReadFile(e.Name())
			require.NoError(t, err)
			tests = append(tests, checkedTests(t, e.Name(), string(text))...)
		}
	}
	c, ms := libraryChecker()
	require.Empty(t, ms)
	for _, r := range c.Rules() {
		assert.Empty(t, unchecked(r, tests), r.Name)
	}
}

// checkedTest is a test function: the texts in it, and the comments above and in it.
type checkedTest struct{ texts, comments string }

func checkedTests(t *testing.T, name, text string) (out []checkedTest) {
	t.Helper()
	fs := token.NewFileSet()
	file, err := parser.ParseFile(fs, name, text, parser.ParseComments)
	require.NoError(t, err)
	for _, d := range file.Decls {
		f, ok := d.(*ast.FuncDecl)
		if !ok || !strings.HasPrefix(f.Name.Name, "Test") {
			continue
		}
		var one checkedTest
		ast.Inspect(f, func(n ast.Node) bool {
			if s, ok := n.(*ast.BasicLit); ok && s.Kind == token.STRING {
				x, err := strconv.Unquote(s.Value)
				require.NoError(t, err)
				one.texts += x + "\n"
			}
			return true
		})
		for _, c := range file.Comments {
			if c == f.Doc || f.Pos() <= c.Pos() && c.End() <= f.End() {
				one.comments += strings.Join(strings.Fields(c.Text()), " ") + "\n"
			}
		}
		out = append(out, one)
	}
	return out
}

var (
	// published finds the works that a source names: standards by their number, handbooks, and authors with a year.
	published = regexp.MustCompile(`\b(?:ACI|ASTM|ASME|EN|IBC|JCGM|NIOSH) [A-Z]?\d[\w./:-]*\w|\d\d CFR \d+\.\d+|PCI Design Handbook|Wood Handbook|UFGS|Roark` +
		`|\b[A-Z][a-z]+(?:(?: [A-Z][a-z]+)?(?: and [A-Z][a-z]+)?(?:, [\w ]+)?) \(\d{4}\)`)
	author = regexp.MustCompile(`^[A-Z][a-z]+`)
	// practice is what figures are come to by where no work is named.
	practice = regexp.MustCompile(`(?i)common practice|by hand|worked out apart|statics|geometry|mensuration|identit|textbook|calendar`)
)

// unchecked tells what a rule lacks; it is empty where a test checks the rule.
func unchecked(r *check.Rule, tests []checkedTest) string {
	call := regexp.MustCompile(`\b` + r.Name + `\(`)
	tests = slices.DeleteFunc(slices.Clone(tests), func(x checkedTest) bool { return !call.MatchString(x.texts) })
	if len(tests) == 0 {
		return "no test calls it"
	}
	works := published.FindAllString(r.Source, -1)
	for i, w := range works {
		if strings.HasSuffix(w, ")") { // of an author with a year, the author
			works[i] = author.FindString(w)
		}
	}
	if len(works) == 0 {
		if slices.ContainsFunc(tests, func(x checkedTest) bool { return practice.MatchString(x.comments) }) {
			return ""
		}
		return "no test that calls it says by what its figures were come to"
	}
	for _, w := range works {
		if slices.ContainsFunc(tests, func(x checkedTest) bool { return strings.Contains(x.comments, w) }) {
			return ""
		}
	}
	return "no test that calls it names " + strings.Join(works, " or ")
}

// What the test above looks for is found where it stands, and missed where it does not.
func TestUncheckedIsFound(t *testing.T) {
	tests := checkedTests(t, "made_up_test.go", "package p\n"+
		"// EN 10080, table 6.\nfunc TestA() { f(\"twice(3)\") }\n"+
		"// By hand.\nfunc TestB() { f(`half_of(3) and twicer(1)`) }\n"+
		"func TestC() {\n\tf(\"third(6)\") // Wright (1936)\n}\n"+
		"// EN 10080.\nfunc helper() { f(\"fourth(8)\") }\n")
	for _, k := range []struct{ name, source, lacks string }{
		{"twice", "EN 10080, table 6", ""},
		{"twice", "ACI 318-19, 20.5 and EN 10080", ""},
		{"twice", "ACI 318-19, 20.5", "no test that calls it names ACI 318-19"},
		{"half_of", "common practice", ""},
		{"half_of", "EN 10080", "no test that calls it names EN 10080"},
		{"twice", "common practice", "no test that calls it says by what its figures were come to"},
		{"third", "Wright, Journal of the Aeronautical Sciences 3 (1936) 122", ""},
		{"fourth", "EN 10080", "no test calls it"},
		{"half", "common practice", "no test calls it"},
	} {
		assert.Equal(t, k.lacks, unchecked(&check.Rule{Name: k.name, Source: k.source}, tests), k)
	}
}
