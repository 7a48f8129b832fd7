package sheets_test

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/syntax"
	"castwright/sheets"
)

// small draws small jobs without mistakes: inputs, formulas over what stands above, texts, tables, checks, parts, variants
// and handouts, with blanks and notes at random. A name in a note is a word and no use.
type small struct {
	dice
	known  []string // lengths that a formula may use
	inputs []string
	n      int
}

func (s *small) fresh() string {
	s.n++
	return fmt.Sprintf("%s_%d", s.one("wall", "rim", "höhe", "h"), s.n)
}

func (s *small) blank() string { return s.one("", " ", " ", "   ", "\t") }

func (s *small) note() string {
	if s.often(60) || len(s.known) == 0 {
		return ""
	}
	return s.one(" # ", "   # ", "\t# ") + s.one(s.known...) + s.one("", " is a guess", ` "{a}"`)
}

func (s *small) length() string {
	return s.one("3 mm", "1.5 m", "2 in", "40 mm ± 1 mm", "40 ± 1 mm", "7 mm", "0.25 m", "3/4 in")
}

func (s *small) formula(deep int) string {
	if deep == 0 || len(s.known) == 0 {
		if s.often(20) || len(s.known) == 0 {
			return "3 mm"
		}
		return s.one(s.known...)
	}
	a, b := s.formula(deep-1), s.formula(deep-1)
	return s.one(a+" + "+b, "("+a+" - "+b+")", "2 * "+a, "largest("+a+", "+b+")", "(if "+a+" > "+b+" then "+a+" else "+b+")")
}

// line writes one statement, of some lines where it is a block.
func (s *small) line() string {
	name := s.fresh()
	switch s.dice(9) {
	case 0, 1:
		s.known, s.inputs = append(s.known, name), append(s.inputs, name)
		return name + s.blank() + "=" + s.blank() + s.length() + s.one("", " [mm]", "   [0.1 mm]") + s.note()
	case 2, 3:
		line := name + s.blank() + "=" + s.blank() + s.formula(2) + " + 1 mm" + s.one("", "  [cm]") + s.note()
		s.known = append(s.known, name)
		return line
	case 4:
		return fmt.Sprintf(`words_%s = "{%s [1 mm]} of {{%s}}"%s`, name, s.formula(1), name, s.note())
	case 5:
		return fmt.Sprintf(`check ok_%s: %s < 100 m else "{%s} is much"`, name, s.formula(1), s.formula(0)) + s.note()
	case 6:
		line := fmt.Sprintf("table %s%s\n  run = n * side + %s\n  side [mm] | n%s\n  10   |  2\n  (%s) | 3 # last\nend", name, s.note(), s.formula(1), s.note(), s.formula(1))
		s.known = append(s.known, "sum("+name+".run)", "largest("+name+".side)")
		return line
	case 7:
		s.known = append(s.known, name)
		return "ask " + name + " [mm] assume 12 mm" + s.one("", " given 14 mm") + s.note()
	}
	if len(s.inputs) == 0 {
		return "# nothing yet"
	}
	in := s.one(s.inputs...)
	return s.one(fmt.Sprintf("variant v_%s (%s: 5 mm)", name, in), fmt.Sprintf("handout o_%s \"To %s\"\n  %s with note\nend", name, name, in))
}

// texts draws a job of two or three sheets; the later ones use the first, by its name and as a part.
func (s *small) texts() []check.Text {
	end := s.one("\n", "\n", "\r\n")
	write := func(lines []string) string {
		text := strings.ReplaceAll(strings.Join(lines, "\n"), "\n", end) + s.one(end, "")
		return s.one("", "\ufeff") + text
	}
	var lines []string
	for range 3 + s.dice(7) {
		lines = append(lines, s.line())
		if s.often(15) {
			lines = append(lines, s.one("", "# a line between", `section "More"`))
		}
	}
	out := []check.Text{{Name: "base", Text: write(lines)}}
	first := s.known
	for _, name := range []string{"next", "other"}[:1+s.dice(2)] {
		s.known, s.inputs = nil, nil
		part := "part p from \"base.sheet\""
		lines = nil
		for _, k := range first {
			if !strings.Contains(k, "(") && s.often(60) {
				s.known = append(s.known, "base."+k, "p."+k)
			}
		}
		lines = append(lines, part)
		for range 1 + s.dice(5) {
			lines = append(lines, s.line())
		}
		out = append(out, check.Text{Name: name, Text: write(lines)})
	}
	return out
}

// values gives the values of all cells to the last bit, with their states and how they are shown, in the order of the text.
func values(j *sheets.Job) string {
	var b strings.Builder
	for _, s := range j.Checked.Sheets {
		for _, in := range append([]*check.Sheet{s}, s.Parts...) {
			for _, c := range in.Cells() {
				v := j.Value(c)
				fmt.Fprintf(&b, "%s %s %q", j.State(c), c.Type.Dim, v.Text)
				for _, x := range v.Num {
					fmt.Fprintf(&b, " %x", math.Float64bits(x))
				}
				b.WriteString("\n")
			}
		}
	}
	return b.String()
}

// sorted brings the lines of a text into an order that does not depend on where they stood.
func sorted(text string) string {
	lines := strings.Split(text, "\n")
	sort.Strings(lines)
	return strings.Join(lines, "\n")
}

// smallJob opens a small job. It stands on disk, for its parts.
func smallJob(t *rapid.T, c *check.Checker, folder string) (*small, *sheets.Job) {
	s := &small{dice: rapidDice(t)}
	texts := map[string]string{}
	for _, x := range s.texts() {
		texts[x.Name] = x.Text
	}
	writeAll(t, folder, texts, "")
	j, err := sheets.Open(folder, c)
	require.NoError(t, err)
	for _, sh := range j.Checked.Sheets {
		for _, m := range sh.Messages() {
			require.NotEqual(t, diag.Mistake, m.Level, "%s\n%s", m.Draw(), texts[sh.Name])
		}
	}
	return s, j
}

// named lists what can be renamed in a sheet: cells, tables, columns, checks and parts.
func named(s *check.Sheet) []string {
	var out []string
	for _, c := range s.Cells() {
		if c.Name != "" {
			out = append(out, strings.TrimPrefix(c.Path(), s.Path()+"."))
		}
	}
	for _, p := range s.Parts {
		out = append(out, p.Name)
	}
	return out
}

var word = regexp.MustCompile(`[\pL\d_]+`)

// A name that is renamed to a fresh one and back gives the same text byte for byte; meanwhile every value is what it was,
// and every line that does not hold the name stays as it was.
func TestRenamingThereAndBack(t *testing.T) {
	c := newChecker(t)
	rapid.Check(t, func(t *rapid.T) {
		folder, done := tempFolder(t)
		defer done()
		s, j := smallJob(t, c, folder)
		sh := j.Checked.Sheets[s.dice(len(j.Checked.Sheets))].Name
		all := named(j.Checked.Sheet(sh))
		if len(all) == 0 {
			return
		}
		name := s.one(all...)
		last := name[strings.LastIndexByte(name, '.')+1:]
		before, was := j.Texts(), values(j)
		rename(t, j, sh, name, "quite_new")
		require.Equal(t, sorted(was), sorted(values(j)), "the values when %s is renamed in %q", name, before)
		for n, text := range j.Texts() {
			old, now := strings.SplitAfter(before[n], "\n"), strings.SplitAfter(text, "\n")
			require.Len(t, now, len(old))
			for i := range now {
				back := word.ReplaceAllStringFunc(now[i], func(w string) string {
					if w == "quite_new" {
						return last
					}
					return w
				})
				require.Equal(t, old[i], back, "only %s is another", last)
			}
		}
		rename(t, j, sh, strings.TrimSuffix(name, last)+"quite_new", last)
		require.Equal(t, before, j.Texts(), "there and back, %s", name)
		require.Equal(t, was, values(j))
		for range 2 {
			_, err := j.Undo()
			require.NoError(t, err)
		}
		require.Equal(t, before, j.Texts(), "taken back")
	})
}

func rename(t *rapid.T, j *sheets.Job, sheet, name, to string) {
	plan, err := j.Rename(j.Checked.Sheet(sheet), name, to)
	require.NoError(t, err, "%s in %q", name, j.Texts())
	r, err := j.EditNames(plan.Label, plan.Splices...)
	require.NoError(t, err, "%s in %q", name, j.Texts())
	require.Empty(t, r.Messages)
}

// A line that is typed again as it stands changes nothing: no byte, and no value. So does an input that is replaced by its
// own value, without bracket, limits and note.
func TestTypingAgainChangesNothing(t *testing.T) {
	c := newChecker(t)
	rapid.Check(t, func(t *rapid.T) {
		folder, done := tempFolder(t)
		defer done()
		s, j := smallJob(t, c, folder)
		sh := j.Checked.Sheets[s.dice(len(j.Checked.Sheets))]
		before, was := j.Texts(), values(j)
		for _, it := range sh.File.Items {
			if it.Statement == nil {
				continue
			}
			again := []string{it.Source.Cut(it.Statement.Where())}
			if x, ok := it.Statement.(*syntax.Cell); ok {
				value := x.Expr
				if l, ok := value.(*syntax.Limits); ok {
					value = l.Middle
				}
				if text := it.Source.Cut(value.Where()); text != "40" { // the unit of 40 ± 1 mm stands behind its limits
					again = append(again, x.Name.Name+" = "+text)
				}
				again = append(again, strings.TrimRight(it.Source.Text, "\r\n"))
			}
			if _, ok := it.Statement.(*syntax.Section); ok {
				continue // one of the same words is gone to
			}
			for _, text := range again {
				r := typeLine(t, j, sh.Name, text)
				require.Equal(t, before, j.Texts(), "%q typed again", text)
				require.Equal(t, was, values(j))
				require.Empty(t, r.Shifts, "%q typed again", text)
			}
			sh = j.Checked.Sheet(sh.Name)
		}
	})
}

// A line that is dropped and typed again gives the same values, wherever it stands then.
func TestDroppedAndTypedAgain(t *testing.T) {
	c := newChecker(t)
	rapid.Check(t, func(t *rapid.T) {
		folder, done := tempFolder(t)
		defer done()
		s, j := smallJob(t, c, folder)
		sh := j.Checked.Sheets[s.dice(len(j.Checked.Sheets))]
		var with []*syntax.Item
		for _, it := range sh.File.Items {
			if it.Statement != nil && sheets.NameOf(it.Statement) != "" {
				with = append(with, it)
			}
		}
		if len(with) == 0 {
			return
		}
		it := with[s.dice(len(with))]
		before, was := j.Texts(), values(j)
		name, text := sheets.NameOf(it.Statement), it.Source.Cut(it.Statement.Where())
		plan, err := j.Drop(sh, name, false)
		require.NoError(t, err)
		_, err = j.Edit(plan.Label, plan.Splices...)
		require.NoError(t, err, "%s in %q", name, before)
		typeLine(t, j, sh.Name, text)
		require.Equal(t, sorted(was), sorted(values(j)), "%q dropped and typed again in %q", text, before)
		for range 2 {
			_, err := j.Undo()
			require.NoError(t, err)
		}
		require.Equal(t, before, j.Texts())
		require.Equal(t, was, values(j))
	})
}

// typeLine types a statement at a sheet.
func typeLine(t *rapid.T, j *sheets.Job, sheet, text string) *sheets.Report {
	plan, ms := j.Type(j.Checked.Sheet(sheet), nil, &diag.Source{Name: "the line", Text: text})
	require.Empty(t, ms, "%q at %q", text, j.Texts())
	r, err := j.Edit(plan.Label, plan.Splices...)
	require.NoError(t, err, "%q at %q", text, j.Texts())
	return r
}

// tempFolder makes a folder for one run of a property.
func tempFolder(t *rapid.T) (string, func()) {
	folder, err := os.MkdirTemp("", "small-*")
	require.NoError(t, err)
	return folder, func() { os.RemoveAll(folder) }
}
