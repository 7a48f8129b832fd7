package check_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/catalogue"
	"castwright/lang/check"
	"castwright/lang/grid"
	"castwright/lang/value"
	"castwright/sheets"
)

// held are files of a job that are held in memory.
type held map[string]string

func (f held) Part(path string) (check.Text, error) {
	text, ok := f[path]
	if !ok {
		return check.Text{}, fmt.Errorf("There is no file %s.", path)
	}
	return check.Text{Name: strings.TrimSuffix(path, ".sheet"), Text: text}, nil
}

func (f held) Library(name string) (check.Text, error) {
	return check.Text{}, fmt.Errorf("There is no starter sheet %s.", name)
}

func (f held) Grid(path string, o grid.Options) (*grid.Grid, error) {
	text, ok := f[path]
	if !ok {
		return nil, fmt.Errorf("There is no file %s.", path)
	}
	return grid.Read([]byte(text), o)
}

func (f held) Object(path string, as *catalogue.File) (any, error) {
	text, ok := f[path]
	if !ok {
		return nil, fmt.Errorf("There is no file %s.", path)
	}
	return as.Read(path, []byte(text))
}

// fileCase is one case of ruling 29: a file, how the sheet takes it, and a column of it.
type fileCase struct {
	verdict verdict
	name    string
	file    string
	options string
	lines   string // in the table
	column  string
	nums    []float64 // in SI units
	texts   []string
	open    []int32
}

// Dates are seconds since 1970-01-01T00:00; 2027-03-01 is day 20878 (ISO 8601, counted with a calendar).
const march = 20878 * 86400

var fileCases = []fileCase{
	{verdict: accepted, name: "kinds from the file", file: "temp [degC],n [1]\n20,3\n-5.5,4\n", column: "temp", nums: []float64{293.15, 267.65}},
	{verdict: accepted, name: "kinds from the sheet", file: "temp,n\n68,3\n", lines: "temp [degF] | n [1]", column: "temp", nums: []float64{293.15}},
	{verdict: accepted, name: "columns by name, some of them", file: "a,b,c\n1,2,3\n", lines: "c [mm] | a [mm]", column: "c", nums: []float64{0.003}},
	{verdict: accepted, name: "names of the sheet's own, one after another", file: "Länge,Gewicht\n1,2\n", lines: "x [mm] | w [kg]", column: "w", nums: []float64{2}},
	{verdict: accepted, name: "tabs", file: "a [mm]\tb [mm]\n1\t2\n", column: "b", nums: []float64{0.002}},
	{verdict: accepted, name: "semicolons and decimal commas", file: "a [mm];b [mm]\n1,5;2\n", options: `(decimal: ",")`, column: "a", nums: []float64{0.0015}},
	{verdict: accepted, name: "quotation marks, as RFC 4180 has them", file: "a [text],b [1]\r\n\"x, \"\"y\"\"\nz\",2\r\n", column: "a", texts: []string{"x, \"y\"\nz"}},
	{verdict: accepted, name: "lines before the heading", file: "station 7\nread by hand\na [mm]\n1\n", options: "(skip: 2)", column: "a", nums: []float64{0.001}},
	{verdict: accepted, name: "dates by ISO 8601", file: "d [date]\n2027-03-01\n2027-03-01T07:30\n2027-03-01 07:30:15\n", column: "d", nums: []float64{march, march + 27000, march + 27015}},
	{verdict: accepted, name: "dates in an order that is said", file: "d [date]\n1.3.2027\n01.03.2027 07:30\n", options: `(dates: "d.m.y")`, column: "d", nums: []float64{march, march + 27000}},
	{verdict: accepted, name: "another order", file: "d [date]\n3/1/2027\n", options: `(dates: "m/d/y")`, column: "d", nums: []float64{march}},
	{verdict: accepted, name: "yes and no", file: "ok [yes/no]\nyes\nno\n", column: "ok", nums: []float64{1, 0}},
	{verdict: accepted, name: "percent, money, angles, compound units", file: "p [%],m [USD],a [deg/s],c [psi^(1/2)]\n8,2.5,180,4\n", column: "p", nums: []float64{0.08}},
	{verdict: accepted, name: "three options", file: "x\nd [date];a [mm]\n1.3.2027;2,5\n", options: `(dates: "d.m.y", decimal: ",", skip: 1)`, column: "a", nums: []float64{0.0025}},

	{verdict: refused, name: "no kind anywhere", file: "a,b\n1,2\n", column: ""},
	{verdict: refused, name: "no kind of one column that the sheet names", file: "a [mm],b\n1,2\n", lines: "a | b"},
	{verdict: refused, name: "no such column", file: "temp [degC],n [1],m [1]\n1,2,3\n", lines: "| tmep [degC]"},
	{verdict: refused, name: "some names of the file and some not", file: "a,b\n1,2\n", lines: "b [mm] | c [mm]"},
	{verdict: refused, name: "another unit in the file than in the sheet", file: "temp [degF],n\n68,3\n", lines: "temp [degC] | n [1]"},
	{verdict: refused, name: "percent in the file and plain numbers in the sheet", file: "p [%]\n68\n", lines: "| p [1]"},
	{verdict: refused, name: "two columns of one name", file: "a [mm],a [kg]\n1,2\n", lines: "| a"},
	{verdict: refused, name: "two columns that differ by case alone", file: "a [mm],A [mm]\n1,2\n", column: "A"},
	{verdict: refused, name: "one heading twice", file: "a [mm],a [mm]\n1,2\n"},
	{verdict: refused, name: "a unit in a field", file: "a [mm]\n1 mm\n", column: "a"},
	{verdict: refused, name: "a decimal comma that is not said", file: "a [mm];b [mm]\n1,5;2\n", column: "a"},
	{verdict: refused, name: "a date of another order", file: "d [date]\n1.3.2027\n", column: "d"},
	{verdict: refused, name: "a heading that cannot be read", file: "a [foo],b [mm]\n1,2\n", column: "a"},
	{verdict: refused, name: "a row too short", file: "a [mm],b [mm]\n1,2\n3\n"},
	{verdict: refused, name: "an empty file", file: ""},
	{verdict: refused, name: "more lines to skip than there are", file: "a [mm]\n1\n", options: "(skip: 9)"},
	{verdict: refused, name: "skip below 0", file: "a [mm]\n1\n", options: "(skip: -1)"},
	{verdict: refused, name: "skip with a unit", file: "a [mm]\n1\n", options: "(skip: 1 mm)"},
	{verdict: refused, name: "a decimal sign that is none", file: "a [mm]\n1\n", options: `(decimal: ";")`},
	{verdict: refused, name: "an order without the year", file: "a [mm]\n1\n", options: `(dates: "d.m")`},
	{verdict: refused, name: "an option that there is not", file: "a [mm]\n1\n", options: "(header: 3)"},
	{verdict: refused, name: "an option twice", file: "a [mm]\n1\n", options: "(skip: 0, skip: 1)"},
	{verdict: refused, name: "a number too large in its unit", file: "a [km]\n1e306\n", column: "a"},

	{verdict: border, name: "more than five values that cannot be read", file: "a [mm]\nx\ny\nz\nu\nv\nw\nq\n", column: "a"},
	{verdict: border, name: "rows of the sheet's own", file: "a\n1\n", lines: "| a [mm]\n  | 2"},
	{verdict: edge, name: "an empty field is open", file: "a [mm],b [text]\n1,\n,x\n", column: "a", nums: []float64{0.001, 0}, open: []int32{1}},
	{verdict: edge, name: "a heading and no rows", file: "a [mm],b [kg]\n", column: "b", nums: []float64{}},
	{verdict: edge, name: "a byte-order mark, CRLF, blank lines, no last line end", file: "\ufeffa [mm]\r\n\r\n1\r\n\r\n2", column: "a", nums: []float64{0.001, 0.002}},
	{verdict: edge, name: "a column of which nobody says what it holds stays out", file: "a [mm],b\n1,x\n", column: "a", nums: []float64{0.001}},
	{verdict: edge, name: "texts of a file are not filled in", file: "a [text]\n{n}\n", column: "a", texts: []string{"{n}"}},
	{verdict: edge, name: "a step in a heading says how it is shown", file: "a [1/16 in],b [0.1 kg]\n2.5,1\n", column: "a", nums: []float64{0.0635}},
	{verdict: edge, name: "an accented heading, however it was typed", file: "la\u0308nge [mm]\n1\n", lines: "| l\u00e4nge", column: "l\u00e4nge", nums: []float64{0.001}},
}

func (k fileCase) sheet() string {
	return fmt.Sprintf("table log from \"log.csv\" %s\n  %s\nend\n", k.options, k.lines)
}

// Ruling 29, over files that are held in memory.
func TestRuling29Files(t *testing.T) {
	c := newChecker(t)
	var golden strings.Builder
	for _, k := range fileCases {
		name := fmt.Sprintf("ruling 29, %s: %s", k.verdict, k.name)
		j := c.Open([]check.Text{{Name: "bench", Text: k.sheet()}}, held{"log.csv": k.file})
		s := j.Sheets[0]
		if k.verdict == refused || k.verdict == border {
			assert.NotEmpty(t, s.Messages(), name)
			fmt.Fprintf(&golden, "== %s\n%s", name, drawAll(s.Messages()))
			continue
		}
		require.Empty(t, drawAll(s.Messages()), name)
		cell, ok := s.Find("log." + k.column)
		require.True(t, ok, name)
		require.NotNil(t, cell.Data, name)
		assert.Equal(t, k.open, cell.Data.Open, name)
		if k.texts != nil {
			assert.Equal(t, k.texts, cell.Data.Column.Text, name)
			continue
		}
		require.Len(t, cell.Data.Column.Num, len(k.nums), name)
		for i, x := range k.nums {
			assert.InDelta(t, x, cell.Data.Column.Num[i], 1e-12*max(1, x), name)
		}
	}
	isGolden(t, "testdata/tables_files.golden", golden.String())
}

func write(t *testing.T, folder, name, text string) {
	t.Helper()
	require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644))
}

// Ruling 29: a file that changed is told, taken by reload as one step, and undo gives back what was read before. It is
// never written.
func TestRuling29ChangedFiles(t *testing.T) {
	c := newChecker(t)
	home := t.TempDir()
	write(t, home, "cure.sheet", "table log from \"log.csv\"\n  warm = if temp > 20 degC then 1 else 0\nend\nhot = sum(log.warm)\nmiddle = mean(log.temp)\n")
	write(t, home, "log.csv", "hour [h],temp [degC]\n1,18\n2,22\n3,26\n")
	j, err := sheets.Open(home, c)
	require.NoError(t, err)
	_, err = j.Edits()
	require.NoError(t, err)
	defer func() { assert.NoError(t, j.Close()) }()
	is := func(name, want string) {
		t.Helper()
		cell, ok := j.Sheets[0].Find(name)
		require.True(t, ok)
		assert.Equal(t, want, stated(j, cell))
	}
	is("hot", "2")
	is("middle", "22 degC") // (18 + 22 + 26) / 3
	assert.Empty(t, j.Outside())

	longer := "hour [h],temp [degC]\n1,18\n2,22\n3,26\n4,30\n"
	write(t, home, "log.csv", longer)
	assert.Equal(t, []string{"log.csv"}, j.Outside())
	is("hot", "2") // not before it is reloaded
	_, err = j.Reload()
	require.NoError(t, err)
	is("hot", "3")
	is("middle", "24 degC")
	assert.Empty(t, j.Outside())

	_, err = j.Undo()
	require.NoError(t, err)
	is("hot", "2")
	is("middle", "22 degC")
	_, err = j.Redo()
	require.NoError(t, err)
	is("hot", "3")
	text, err := os.ReadFile(filepath.Join(home, "log.csv"))
	require.NoError(t, err)
	assert.Equal(t, longer, string(text))

	write(t, home, "log.csv", "hour [h],temp [degC]\n1,warm\n") // a file that went wrong is told as one
	assert.Equal(t, []string{"log.csv"}, j.Outside())
	_, err = j.Reload()
	require.NoError(t, err)
	cell, _ := j.Sheets[0].Find("hot")
	assert.Equal(t, value.Mistake, j.State(cell))
	assert.Contains(t, drawAll(j.Sheets[0].Messages()), `log.csv, line 2, column temp: "warm" is not a number.`)
	require.NoError(t, os.Remove(filepath.Join(home, "log.csv")))
	assert.Equal(t, []string{"log.csv"}, j.Outside())
	_, err = j.Reload()
	require.NoError(t, err)
	assert.Contains(t, drawAll(j.Sheets[0].Messages()), "There is no file or folder log.csv.")
	_, err = j.Undo()
	require.NoError(t, err)
	_, err = j.Undo()
	require.NoError(t, err)
	is("hot", "3")
}

// A file is read from the job's folder and from no other place.
func TestRuling29PathsStayInside(t *testing.T) {
	c := newChecker(t)
	outside := t.TempDir()
	write(t, outside, "log.csv", "a [mm]\n1\n")
	home := t.TempDir()
	require.NoError(t, os.Symlink(filepath.Join(outside, "log.csv"), filepath.Join(home, "link.csv")))
	for _, path := range []string{"../" + filepath.Base(outside) + "/log.csv", filepath.Join(outside, "log.csv"), "link.csv"} {
		write(t, home, "a.sheet", fmt.Sprintf("table log from \"%s\"\nend\ns = 1\n", path))
		j, err := sheets.Open(home, c)
		require.NoError(t, err)
		assert.Contains(t, drawAll(j.Sheets[0].Messages()), "does not lie inside the job's folder", path)
		cell, _ := j.Sheets[0].Find("s")
		assert.Equal(t, "1", stated(j, cell))
	}
}

// Two tables may read one file, each in its own way.
func TestRuling29OneFileTwice(t *testing.T) {
	c := newChecker(t)
	home := t.TempDir()
	write(t, home, "a.sheet", "table x from \"a.csv\"\n  | n [1]\nend\ntable y from \"a.csv\" (decimal: \",\", skip: 1)\n  | n [mm]\nend\ns = sum(x.n)\nr = sum(y.n)\n")
	write(t, home, "a.csv", "n\nn\n5\n")
	j, err := sheets.Open(home, c)
	require.NoError(t, err)
	cell, _ := j.Sheets[0].Find("r")
	assert.Equal(t, "5 mm", stated(j, cell))
	assert.Contains(t, drawAll(j.Sheets[0].Messages()), `"n" is not a number`)
}
