package check_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/engine"
	"castwright/lang/catalogue"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/grid"
	"castwright/lang/program"
	"castwright/lang/show"
	"castwright/lang/value"
)

// shelf is a folder in memory: the sheets that stand in its subfolders, and the starter sheets.
type shelf map[string]string

func (f shelf) Part(path string) (check.Text, error) {
	text, ok := f[path]
	if !ok {
		return check.Text{}, fmt.Errorf("There is no file or folder %s.", path)
	}
	return check.Text{Name: strings.TrimSuffix(path, ".sheet"), Text: text}, nil
}

func (f shelf) Library(name string) (check.Text, error) {
	text, ok := f["library "+name]
	if !ok {
		return check.Text{}, fmt.Errorf("The library has no starter sheet %s.", name)
	}
	return check.Text{Name: name, Text: text}, nil
}

func (f shelf) Grid(path string, o grid.Options) (*grid.Grid, error) {
	text, ok := f[path]
	if !ok {
		return nil, fmt.Errorf("There is no file or folder %s.", path)
	}
	return grid.Read([]byte(text), o)
}

func (f shelf) Object(path string, as *catalogue.File) (any, error) { return held(f).Object(path, as) }

// unpack makes the sheets of a job out of one text, in which a line `--- name` stands above each. Names with a slash, a
// blank or a dot go to the shelf: they are no neighbours.
func unpack(text string) ([]check.Text, shelf) {
	var texts []check.Text
	files := shelf{}
	for _, piece := range strings.Split("\n"+text, "\n--- ")[1:] {
		name, body, _ := strings.Cut(piece, "\n")
		if body = strings.TrimSuffix(body, "\n") + "\n"; strings.ContainsAny(name, "/ .") {
			files[name] = body
			continue
		}
		texts = append(texts, check.Text{Name: name, Text: body})
	}
	return texts, files
}

// figured is a checked job, computed.
type figured struct {
	*check.Job
	engine *engine.Job
	ids    map[*check.Cell]engine.ID
}

func work(t testing.TB, c *check.Checker, text string) figured {
	t.Helper()
	texts, files := unpack(text)
	w := figured{c.Open(texts, files), engine.New(), map[*check.Cell]engine.ID{}}
	var cells []*check.Cell
	for open := w.Sheets; len(open) > 0; open = open[1:] {
		cells = append(cells, open[0].Cells()...)
		open = append(open, open[0].Parts...)
	}
	w.put(t, cells...)
	return w
}

func (w figured) put(t testing.TB, cells ...*check.Cell) {
	t.Helper()
	for i, id := range w.engine.Reserve(len(cells)) {
		w.ids[cells[i]] = id
	}
	var e engine.Edit
	for _, c := range cells {
		f := engine.Formula{Name: c.Path(), Program: c.Program, Places: c.Places}
		switch {
		case c.Fault != nil:
			f = engine.Formula{Name: c.Path(), Fault: &engine.Cause{State: value.Mistake, Kind: engine.Failure, Cell: c.Path(), Text: c.Fault.Text}}
		case c.Data != nil:
			f = engine.Formula{Name: c.Path(), Data: &engine.Data{Column: c.Data.Column, Open: c.Data.Open, Ask: c.Path(), Place: program.Place{Source: c.Source, Span: c.NameSpan}}}
		default:
			for _, in := range c.Inputs {
				f.Inputs = append(f.Inputs, w.ids[in])
			}
		}
		e.Put = append(e.Put, engine.Put{ID: w.ids[c], Formula: f})
	}
	_, err := w.engine.Apply(e)
	require.NoError(t, err)
}

// line computes a line over the first sheet: what it shows, with why where it is not ok, what it tells, and its state.
func (w figured) line(t testing.TB, text string) (shown, told string, state value.State) {
	t.Helper()
	cell, ms := w.Sheets[0].Line(&diag.Source{Name: "the line", Text: text})
	if told = drawAll(ms); cell == nil || ms.Mistakes() > 0 {
		return "", told, value.Mistake
	}
	w.put(t, cell)
	id := w.ids[cell]
	if state = w.engine.State(id); state < value.Open {
		shown = show.Column(cell.Spec, cell.Type, w.engine.Value(id))
	}
	for _, x := range w.engine.Causes(id) {
		told += x.Message().Draw()
	}
	return shown, told, state
}

func (w figured) messages() diag.List {
	var out diag.List
	for _, s := range w.Sheets {
		for _, m := range s.Messages() {
			out.Add(m)
		}
	}
	return out
}

// jobCase is one case of a ruling that is about jobs of several sheets. What stands above all sheets is named by itself.
type jobCase struct {
	number  int
	verdict verdict
	name    string
	sheets  string
	line    string      // computed over the first sheet; empty where the messages of the sheets are what counts
	shown   string      // what an accepted line shows
	state   value.State // of an accepted line
}

const legSheet = `
--- leg
height = 400 mm
ask price [USD] assume 11 USD
ask lead [d]
mass = height * 10 kg/m
cost = 2 * price
soon = lead + 1 d
early = strength_at(0.5 d, 30 MPa)
table pours
  volume = pieces * 2 L
  pieces | kind
  4      | "seat"
  6      | "leg"
end
count_of = sum(pours.pieces)
check light: mass < 5 kg else "{mass} is too heavy"
`

const twoMeasures = `
--- bench
part a from "sub/mix.sheet"
part b from "sub/mix.sheet" (bag: 60 lb, EUR_USD: 2 USD/EUR)
--- sub/mix.sheet
1 bag = 80 lb
1 pile = 10 bag
1 EUR = 1.09 USD
heap = 1 pile [lb]
cost = 3 EUR + 1 USD [USD]
part inner from "sub/inner.sheet"
--- sub/inner.sheet
1 bag = 80 lb
1 EUR = 1.09 USD
one = 1 bag [lb]
cost = 3 EUR [USD]
`

const rowsSheet = `
table rows
  extra | kind  | pieces
  1 m   | "x"   | 1
  2 m   | "y"   | 2
  3 m   | "z"   | 3
end
`

// jobCases are grouped by ruling. A name of a sheet with a slash is a file of a subfolder; "library x" is a starter sheet.
var jobCases = []jobCase{
	{number: 2, verdict: accepted, name: "a cell of a neighbour", sheets: "--- bench\nx = 1\n" + legSheet, line: "leg.mass", shown: "4 kg"},
	{number: 2, verdict: accepted, name: "a chain through a part and a table", sheets: "--- bench\npart low from \"leg.sheet\"" + legSheet, line: "sum(low.pours.pieces)", shown: "10"},
	{number: 2, verdict: accepted, name: "a part of a neighbour", sheets: "--- bench\nx = 1\n--- top\npart low from \"leg.sheet\" (height: 1 m)" + legSheet, line: "top.low.mass", shown: "10 kg"},
	{number: 2, verdict: accepted, name: "the own sheet by its name", sheets: "--- bench\nx = 3 m\n--- top\ny = 1\n", line: "bench.x", shown: "3000 mm"},
	{number: 2, verdict: refused, name: "a cell named like a neighbour", sheets: "--- bench\nleg = 3 m" + legSheet},
	{number: 2, verdict: refused, name: "a part named like a neighbour that it is not made from", sheets: "--- bench\npart top from \"leg.sheet\"\n--- top\nx = 1" + legSheet},
	{number: 2, verdict: refused, name: "a part and a cell that differ by case alone", sheets: "--- bench\npart low from \"leg.sheet\"\nLow = 3" + legSheet},
	{number: 2, verdict: refused, name: "a part and a cell of one name", sheets: "--- bench\nlow = 3\npart low from \"leg.sheet\"" + legSheet},
	{number: 2, verdict: refused, name: "a neighbour alone is no value", sheets: "--- bench\nx = leg" + legSheet},
	{number: 2, verdict: refused, name: "a name that a neighbour has not", sheets: "--- bench\nx = leg.mas\ny = leg.pours.piece" + legSheet},
	{number: 2, verdict: edge, name: "a part may bear the name of the sheet that it is made from", sheets: "--- bench\npart leg from \"leg.sheet\" (height: 1 m)" + legSheet, line: "leg.mass", shown: "10 kg"},
	{number: 2, verdict: edge, name: "a sheet called like a constant takes it from nobody", sheets: "--- bench\nx = 1\n--- pi\ny = 3\n", line: "pi.y * pi", shown: "9.425"},

	{number: 14, verdict: accepted, name: "a measure of a neighbour", sheets: "--- bench\nx = 1\n--- stock\n1 bag = 80 lb\n", line: "3 bags [lb]", shown: "240 lb"},
	{number: 14, verdict: accepted, name: "a measure that a part alone states", sheets: "--- bench\npart mix from \"sub/mix.sheet\"\nx = 3 bag\n--- sub/mix.sheet\n1 bag = 80 lb\ny = 2 bag\n", line: "x + mix.y [lb]", shown: "400 lb"},
	{number: 14, verdict: accepted, name: "a rate of a neighbour, either way", sheets: "--- bench\nx = 1\n--- stock\n1 EUR = 1.25 USD\n", line: "2 EUR + 2.50 USD [EUR]", shown: "4.00 EUR"},
	{number: 14, verdict: accepted, name: "a rate that a part alone states", sheets: "--- bench\npart mix from \"sub/mix.sheet\"\n--- sub/mix.sheet\n1 EUR = 1.25 USD\n", line: "2 EUR [USD]", shown: "2.50 USD"},
	{number: 14, verdict: accepted, name: "a measure replaced in one part of two", sheets: twoMeasures, line: "b.heap - a.heap [lb]", shown: "-200 lb"},
	{number: 14, verdict: accepted, name: "a rate replaced in one part of two", sheets: twoMeasures, line: "(a.cost, b.cost)", shown: "(4.27 USD, 7.00 USD)"},
	{number: 14, verdict: refused, name: "two measures that differ", sheets: "--- bench\n1 bag = 80 lb\n--- stock\n1 bag = 60 lb\n"},
	{number: 14, verdict: refused, name: "two rates that differ", sheets: "--- bench\n1 EUR = 1.09 USD\n--- stock\n1 EUR = 1.1 USD\n"},
	{number: 14, verdict: refused, name: "a rate of a part that differs", sheets: "--- bench\n1 EUR = 1.09 USD\npart mix from \"sub/mix.sheet\"\n--- sub/mix.sheet\n1 EUR = 1.1 USD\n"},
	{number: 14, verdict: refused, name: "a rate stated the other way round in a neighbour", sheets: "--- bench\n1 EUR = 1.25 USD\n--- stock\n1 USD = 0.8 EUR\n"},
	{number: 14, verdict: refused, name: "two counts that differ in their plural", sheets: "--- bench\ncount crate\n--- stock\ncount crate, cratefuls\n"},
	{number: 14, verdict: refused, name: "a measure replaced by one of another kind", sheets: "--- bench\npart mix from \"sub/mix.sheet\" (bag: 5 m)\n--- sub/mix.sheet\n1 bag = 80 lb\n"},
	{number: 14, verdict: refused, name: "measures that rest on each other over two sheets", sheets: "--- bench\n1 bag = 2 sack\n--- stock\n1 sack = 3 bag\n"},
	{number: 14, verdict: edge, name: "stated twice alike, by value", sheets: "--- bench\n1 bag = 80 lb\n1 EUR = 1.25 USD\ncount pallet, pallets\n--- stock\n1 bag = 80.0 lb\n1 EUR = 1.250 USD\ncount pallet, pallets\n", line: "1 bag + 1 EUR * 0 lb / 1 EUR [lb]", shown: "80 lb"},
	{number: 14, verdict: edge, name: "a replaced measure is worked out in the using sheet", sheets: "--- bench\n1 sack = 10 kg\npart mix from \"sub/mix.sheet\" (bag: 2 sack, sack: 30 kg)\n--- sub/mix.sheet\n1 bag = 80 lb\n1 sack = 10 kg\ny = 1 bag [kg]\n", line: "mix.y", shown: "20 kg"},
	{number: 14, verdict: edge, name: "a replaced measure holds in the parts of the part", sheets: twoMeasures, line: "a.inner.one - b.inner.one [lb]", shown: "20 lb"},
	{number: 14, verdict: edge, name: "a replaced rate holds in the parts of the part", sheets: twoMeasures, line: "b.inner.cost", shown: "6.00 USD"},
	{number: 14, verdict: edge, name: "a measure that the part uses and a neighbour states", sheets: "--- bench\npart mix from \"mix.sheet\" (bag: 60 lb)\n--- mix\ny = 2 bag [lb]\n--- stock\n1 bag = 80 lb\n", line: "mix.y [lb]", shown: "120 lb"},
	{number: 14, verdict: border, name: "a measure is not replaced by a cell", sheets: "--- bench\nw = 3 kg\npart mix from \"sub/mix.sheet\" (bag: w)\n--- sub/mix.sheet\n1 bag = 80 lb\n"},

	{number: 32, verdict: accepted, name: "an assumed ask of a part", sheets: "--- bench\npart low from \"leg.sheet\"" + legSheet, line: "low.cost", shown: "22.00 USD", state: value.Flagged},
	{number: 32, verdict: accepted, name: "an open ask of a neighbour", sheets: "--- bench\nx = 1\n" + legSheet, line: "leg.soon", state: value.Open},
	{number: 32, verdict: refused, name: "what rests on a mistake of a part", sheets: "--- bench\npart low from \"leg.sheet\" (price: 3 kg)" + legSheet, line: "low.cost"},
	{number: 32, verdict: edge, name: "an ask that is replaced is no ask of the job", sheets: "--- bench\npart low from \"leg.sheet\" (price: 3 USD)" + legSheet, line: "low.cost", shown: "6.00 USD"},
	{number: 32, verdict: edge, name: "a branch that is not taken", sheets: "--- bench\npart low from \"leg.sheet\"" + legSheet, line: "if low.mass > 1 kg then 1 d else low.lead", shown: "24 h"},

	{number: 33, verdict: accepted, name: "the ask of a part", sheets: "--- bench\npart low from \"leg.sheet\"\nx = low.cost accept \"quote\" (low.price)" + legSheet, line: "x", shown: "22.00 USD"},
	{number: 33, verdict: accepted, name: "the ask of a neighbour", sheets: "--- bench\nx = leg.cost accept \"quote\" (leg.price)" + legSheet, line: "x", shown: "22.00 USD"},
	{number: 33, verdict: accepted, name: "a rule that a part calls", sheets: "--- bench\npart low from \"leg.sheet\"\nx = low.early accept \"cylinders\" (strength_at)" + legSheet, line: "x", shown: "3390 kPa"},
	{number: 33, verdict: refused, name: "a cell that is no ask", sheets: "--- bench\npart low from \"leg.sheet\"\nx = low.cost accept \"quote\" (low.mass)\ny = low.cost accept \"quote\" (price)" + legSheet},
	{number: 33, verdict: edge, name: "the ask of another part of the same sheet answers nothing", sheets: "--- bench\npart low from \"leg.sheet\"\npart high from \"leg.sheet\"\nx = low.cost accept \"quote\" (high.price)" + legSheet, line: "x", shown: "22.00 USD", state: value.Flagged},
	{number: 33, verdict: edge, name: "a cause that is not named shows", sheets: "--- bench\npart low from \"leg.sheet\"\nx = low.cost + leg.cost accept \"quote\" (low.price)" + legSheet, line: "x", shown: "44.00 USD", state: value.Flagged},

	{number: 36, verdict: accepted, name: "inputs replaced, worked out in the using sheet", sheets: "--- bench\nheight = 1 m\npart low from \"leg.sheet\" (height: height / 2)" + legSheet, line: "low.mass", shown: "5 kg"},
	{number: 36, verdict: accepted, name: "a starter sheet", sheets: "--- bench\npart low from library \"post\" (height: 1 m)\n--- library post\nheight = 2 m\nmass = height * 1 kg/m\n", line: "low.mass", shown: "1 kg"},
	{number: 36, verdict: accepted, name: "a table with other columns in another order", sheets: "--- bench\npart low from \"leg.sheet\" (pours: rows)" + rowsSheet + legSheet, line: "low.pours.volume", shown: "(2 L, 4 L, 6 L)"},
	{number: 36, verdict: accepted, name: "rows that are chosen", sheets: "--- bench\npart low from \"leg.sheet\" (pours: rows where rows.pieces > 1)" + rowsSheet + legSheet, line: "sum(low.pours.volume)", shown: "10 L"},
	{number: 36, verdict: accepted, name: "a table with expressions in its rows", sheets: "--- bench\npart low from \"sub/a.sheet\" (t: rows)" + rowsSheet + "--- sub/a.sheet\nk = 2\ntable t\n  | pieces\n  | (k + 1)\nend\n", line: "sum(low.t.pieces)", shown: "6"},
	{number: 36, verdict: accepted, name: "the system of the using sheet", sheets: "--- bench\nsystem us\npart low from \"leg.sheet\"" + legSheet, line: "low.mass", shown: "8.818 lb"},
	{number: 36, verdict: accepted, name: "the checks of a part", sheets: "--- bench\npart low from \"leg.sheet\" (height: 1 m)" + legSheet, line: "low.light", shown: "no"},
	{number: 36, verdict: refused, name: "kinds that differ", sheets: "--- bench\npart low from \"leg.sheet\" (height: 3 kg, price: 3 m, lead: (1 d, 2 d))" + legSheet},
	{number: 36, verdict: refused, name: "what is worked out, and what is not there", sheets: "--- bench\npart low from \"leg.sheet\" (mass: 3 kg, heigth: 1 m, light: yes, height: 1 m, height: 2 m)" + legSheet},
	{number: 36, verdict: refused, name: "a table by a value, and by rows without a column", sheets: "--- bench\npart low from \"leg.sheet\" (pours: 5 m)\npart high from \"leg.sheet\" (pours: short)\ntable short\n  | pieces [m]\n  | 1\nend" + legSheet},
	{number: 36, verdict: refused, name: "a part of itself by two ways", sheets: "--- bench\npart low from \"leg.sheet\"\npart top from \"top.sheet\"\n--- leg\npart up from \"top.sheet\"\n--- top\npart back from \"bench.sheet\"\n"},
	{number: 36, verdict: refused, name: "a part of itself by another spelling", sheets: "--- bench\npart low from \"./bench.sheet\"\n"},
	{number: 36, verdict: refused, name: "a file that is not there, and what rests on it", sheets: "--- bench\npart low from \"sub/none.sheet\"\nx = low.mass + 1 kg\n"},
	{number: 36, verdict: refused, name: "a part with mistakes tells them once", sheets: "--- bench\npart low from \"leg.sheet\"\npart high from \"leg.sheet\"\n--- leg\nx = 1 m + 1 kg\ny = 1 +\n"},
	{number: 36, verdict: edge, name: "where a name is both, the cell", sheets: "--- bench\npart low from \"sub/a.sheet\" (bag: 5)\n--- sub/a.sheet\n1 bag = 80 lb\nbag = 3\nm = 1 bag * bag [lb]\n", line: "low.m [lb]", shown: "400 lb"},
	{number: 36, verdict: edge, name: "no row is left", sheets: "--- bench\npart low from \"leg.sheet\" (pours: rows where rows.pieces > 9)" + rowsSheet + legSheet, line: "low.count_of", shown: "0"},
	{number: 36, verdict: edge, name: "a part of a part, with an input of the outer one", sheets: "--- bench\npart outer from \"sub/a.sheet\" (h: 5 m)\n--- sub/a.sheet\nh = 1 m\npart in from \"sub/b.sheet\" (h: 2 * h)\n--- sub/b.sheet\nh = 7 m\nm = h * 1 kg/m\n", line: "outer.in.m", shown: "10 kg"},

	{number: 37, verdict: accepted, name: "two sheets that use each other, cell by cell", sheets: "--- bench\na = 1\nb = leg.a + 1\n--- leg\na = bench.a + 1\nb = bench.b + 1\n", line: "leg.b", shown: "4"},
	{number: 37, verdict: accepted, name: "a part that is given what another cell of it gives", sheets: "--- bench\npart p from \"sub/a.sheet\" (h: p.k)\n--- sub/a.sheet\nh = 1 m\nk = 2 m\nm = h * 2\n", line: "p.m", shown: "4000 mm"},
	{number: 37, verdict: refused, name: "over three sheets", sheets: "--- bench\nx = leg.x + 1\n--- leg\nx = top.x\n--- top\nx = bench.x\n"},
	{number: 37, verdict: refused, name: "through a part", sheets: "--- bench\nx = p.m\npart p from \"sub/a.sheet\" (h: x)\n--- sub/a.sheet\nh = 1 m\nm = h * 2\n"},
	{number: 37, verdict: refused, name: "through a table", sheets: "--- bench\nx = sum(leg.t.w)\n--- leg\ntable t\n  w = v * bench.x\n  | v\n  | 1\nend\n"},
	{number: 37, verdict: refused, name: "through a table that a part replaces", sheets: "--- bench\npart p from \"sub/a.sheet\" (t: p.t)\n--- sub/a.sheet\ntable t\n  | v\n  | 1\nend\n"},
	{number: 37, verdict: border, name: "through a rate that a part replaces", sheets: "--- bench\npart p from \"sub/a.sheet\" (EUR_USD: rate)\nrate = p.total / 3 EUR\n--- sub/a.sheet\n1 EUR = 1.09 USD\ntotal = 3 EUR [USD]\n"},
	{number: 37, verdict: border, name: "through the rates of two parts", sheets: "--- bench\npart p from \"sub/a.sheet\" (EUR_USD: q.total / 3 EUR)\npart q from \"sub/a.sheet\" (EUR_USD: p.total / 3 EUR)\n--- sub/a.sheet\n1 EUR = 1.09 USD\ntotal = 3 EUR [USD]\n"},
	{number: 37, verdict: edge, name: "a rate worked out beside the part", sheets: "--- bench\nfee = 0.01 USD/EUR\npart p from \"sub/a.sheet\" (EUR_USD: 1.24 USD/EUR + fee)\n--- sub/a.sheet\n1 EUR = 1.09 USD\ntotal = 4 EUR [USD]\n", line: "p.total", shown: "5.00 USD"},

	{verdict: accepted, name: "a variant", sheets: "--- bench\nwater = 20 degC\nask price [USD]\n1 EUR = 1.25 USD\nvariant winter (water: 8 degC, price: 3 USD, EUR_USD: 1.2 USD/EUR)\n", line: "water", shown: "20 degC"},
	{verdict: refused, name: "a variant of another kind, of what is worked out, of what is not there", sheets: "--- bench\nh = 1 m\nm = 2 * h\nvariant tall (h: 1 kg)\nvariant heavy (m: 3 m)\nvariant other (hh: 3 m)\nvariant list (h: (1 m, 2 m))\n"},
	{verdict: refused, name: "a variant written twice, and an input set twice", sheets: "--- bench\nh = 1 m\nvariant tall (h: 2 m)\nvariant tall (h: 3 m)\nvariant low (h: 2 m, h: 3 m)\n"},
	{verdict: edge, name: "a variant bears the name of a cell", sheets: "--- bench\nh = 1 m\nvariant h (h: h * 2)\n", line: "h", shown: "1 m"},
}

func TestJobs(t *testing.T) {
	c := newChecker(t)
	var golden strings.Builder
	for _, k := range jobCases {
		w := work(t, c, k.sheets)
		told := drawAll(w.messages())
		name := fmt.Sprintf("ruling %d, %s: %s", k.number, k.verdict, k.name)
		var shown string
		var state value.State
		if k.line != "" {
			var more string
			shown, more, state = w.line(t, k.line)
			told += more
		}
		if k.verdict == accepted || k.verdict == edge {
			assert.Equal(t, k.shown, shown, "%s\n%s", name, told)
			assert.Equal(t, k.state, state, "%s\n%s", name, told)
			assert.Zero(t, w.messages().Mistakes(), "%s\n%s", name, told)
			continue
		}
		assert.NotEmpty(t, told, name)
		assert.True(t, w.messages().Mistakes() > 0 || state == value.Mistake, name)
		fmt.Fprintf(&golden, "== %s\n%s", name, told)
	}
	const file = "testdata/jobs.golden"
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(golden.String()), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), golden.String())
}

// Each ruling on jobs has an accepted, a refused and an edge case.
func TestEveryRulingOnJobsHasThreeCases(t *testing.T) {
	seen := map[string]bool{}
	for _, k := range jobCases {
		kind, _, _ := strings.Cut(string(k.verdict), " ")
		seen[fmt.Sprint(k.number, kind)] = true
	}
	for _, n := range []int{2, 14, 32, 33, 36, 37, 0} {
		for _, k := range []string{"accepted", "refused", "edge"} {
			assert.True(t, seen[fmt.Sprint(n, k)], "ruling %d has no case that is %s", n, k)
		}
	}
}

// Parts that each take the next one twice double with every level: they are refused in bounded time, with the limit in the
// message, and what needs fewer is sound.
func TestPartsAreBounded(t *testing.T) {
	c := newChecker(t)
	var b strings.Builder
	const levels = 19
	for i := range levels {
		fmt.Fprintf(&b, "--- s%d\npart p from \"s%d.sheet\"\npart q from \"s%d.sheet\"\nx = p.x + q.x\n", i, i+1, i+1)
	}
	fmt.Fprintf(&b, "--- s%d\nx = 1\n--- aside\nx = 3\n", levels)
	texts, files := unpack(b.String())
	j := c.Open(texts, files)
	assert.Contains(t, drawAll(j.Sheet("s0").Messages()), "This job takes more than 10000 parts, those in parts included.")
	assert.Empty(t, j.Sheet("aside").Messages())
}

// Parts nest as deep as they may, and are refused beyond.
func TestNestedPartsAreBounded(t *testing.T) {
	c := newChecker(t)
	var b strings.Builder
	b.WriteString("--- s0\nx = 1\n")
	for i := range 21 {
		fmt.Fprintf(&b, "--- s%d\npart p from \"s%d.sheet\"\nx = p.x + 1\n", i+1, i)
	}
	w := work(t, c, b.String())
	assert.Empty(t, w.Sheet("s20").Messages())
	require.Len(t, w.Sheet("s21").Messages(), 1)
	assert.Contains(t, w.Sheet("s21").Messages()[0].Text, "nest more than 20 deep")
}

// A sheet is taken as a part twenty times, each with its own inputs; a chain of two hundred neighbours is worked out.
func TestManyPartsAndNeighbours(t *testing.T) {
	c := newChecker(t)
	var b strings.Builder
	b.WriteString("--- bench\n")
	for i := range 20 {
		fmt.Fprintf(&b, "part p%d from \"sub/leg.sheet\" (height: %d m)\n", i, i+1)
	}
	for i := range 200 {
		from := "1"
		if i > 0 {
			from = fmt.Sprintf("s%d.x + 1", i-1)
		}
		fmt.Fprintf(&b, "--- s%d\nx = %s\n", i, from)
	}
	b.WriteString("--- sub/leg.sheet\nheight = 1 m\nmass = height * 1 kg/m\n")
	w := work(t, c, b.String())
	require.Empty(t, w.messages())
	shown, _, _ := w.line(t, "p19.mass - p0.mass")
	assert.Equal(t, "19 kg", shown)
	shown, _, _ = w.line(t, "s199.x")
	assert.Equal(t, "200", shown)
}
