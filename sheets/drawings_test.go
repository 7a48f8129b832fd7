package sheets_test

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/value"
	"castwright/sheets"
)

// seatDrawing is a drawing in mm, of a seat of the given depth, an oval, and a ring drawn as two circles in a group.
func seatDrawing(depth string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="400mm" viewBox="0 0 600 400">
<rect id="seat" x="10" y="10" width="200" height="` + depth + `"/>
<ellipse id="oval" cx="300" cy="200" rx="90" ry="50"/>
<g id="ring"><circle cx="500" cy="100" r="50"/><circle cx="500" cy="100" r="30"/></g>
</svg>
`
}

// faultOf is the message of a cell that is a mistake.
func faultOf(t testing.TB, j *sheets.Job, name string) string {
	t.Helper()
	c, ok := j.Sheets[0].Find(name)
	require.True(t, ok, name)
	require.Equal(t, value.Mistake, j.State(c), name)
	var out []string
	if c.Fault != nil {
		out = append(out, c.Fault.Draw())
	}
	for _, x := range j.Causes(c) {
		out = append(out, x.Message().Draw())
	}
	return strings.Join(out, "\n")
}

func stateOf(t testing.TB, j *sheets.Job, name string) value.State {
	t.Helper()
	c, ok := j.Sheets[0].Find(name)
	require.True(t, ok, name)
	return j.State(c)
}

// A drawing in a job: its shapes by their ids, one by one and down a column.
func TestDrawings(t *testing.T) {
	j := edited(t, folderWith(t, map[string]string{"seat.svg": seatDrawing("100"), "px.svg": `<svg><rect width="20" height="10"/></svg>`, "bench.sheet": `
seat  = drawing("seat.svg", "seat")
area  = seat.area [mm^2]
thick = drawing("./seat.svg", "seat", unit: 1 in).area [1 in^2]
oval  = drawing("seat.svg", "oval").area [mm^2]
rough = drawing("seat.svg", "oval", tolerance: 3 mm)
taken = drawing("seat.svg", "oval", tolerance: 3 mm) accept "a sketch" (drawing)
shown = drawing("px.svg")
twice = drawing("px.svg", unit: 2 mm).width
ring  = drawing("seat.svg", "ring")
rule seat_of(depth [mm])
  give drawing("seat.svg", "seat").area - 200 mm * depth [mm^2]
end
less  = seat_of(20 mm)
table parts
  area = drawing("seat.svg", id, tolerance: within).area [mm^2]
  | id     | within
  | "seat" | 3 mm
  | "oval" | 0.01 mm
  | "oval" | 3 mm
  | "sat"  | 3 mm
end
`}))
	parts, ok := j.Sheets[0].Find("parts.area")
	require.True(t, ok)
	column := j.Value(parts)
	for i, want := range []value.State{value.OK, value.OK, value.Flagged, value.Mistake} {
		assert.Equal(t, want, j.Engine.StateOf(column.Mark(i)), "row %d", i+1)
	}
	assert.InEpsilon(t, 0.02, column.Num[0], 1e-12)
	assert.InEpsilon(t, math.Pi*0.09*0.05, column.Num[1], 1e-5)
	assert.Equal(t, "20000 mm^2", valueOf(t, j, "area"))
	assert.Equal(t, "20000 in^2", valueOf(t, j, "thick"))
	assert.Equal(t, "14137 mm^2", valueOf(t, j, "oval"), "pi 90 mm 50 mm")
	assert.Equal(t, "40 mm", valueOf(t, j, "twice"))
	assert.Equal(t, "16000 mm^2", valueOf(t, j, "less"))
	assert.Equal(t, value.Flagged, stateOf(t, j, "rough"))
	assert.Equal(t, value.OK, stateOf(t, j, "taken"))
	assert.Equal(t, value.Flagged, stateOf(t, j, "shown"))
	assert.Equal(t, value.Flagged, stateOf(t, j, "ring"))
}

// Files of drawings that cannot be had, and arguments that cannot be taken.
func TestDrawingsRefused(t *testing.T) {
	folder := folderWith(t, map[string]string{"seat.svg": seatDrawing("100"), "open.svg": `<svg width="1mm"><path d="M0 0h5v5"/></svg>`, "bench.sheet": `
name    = "seat.svg"
gone    = drawing("seet.svg")
nowhere = drawing("none.svg")
above   = drawing("../seat.svg")
root    = drawing("/etc/hostname")
link    = drawing("link.svg")
folder  = drawing("sub.svg")
large   = drawing("large.svg")
sheet   = drawing("bench.sheet")
empty   = drawing("")
by_name = drawing(name)
filled  = drawing("{name}")
number  = drawing(3)
open    = drawing("open.svg")
id      = drawing("seat.svg", "saet")
unit    = drawing("seat.svg", "seat", 0 mm)
exact   = drawing("seat.svg", "oval", tolerance: 0 mm)
wrong   = drawing("seat.svg", "seat", 2)
`})
	outside := filepath.Join(filepath.Dir(folder), "outside.svg")
	require.NoError(t, os.WriteFile(outside, []byte(seatDrawing("100")), 0o644))
	require.NoError(t, os.Symlink(outside, filepath.Join(folder, "link.svg")))
	require.NoError(t, os.Mkdir(filepath.Join(folder, "sub.svg"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "large.svg"), bytes.Repeat([]byte(" "), 16<<20+1), 0o644))
	j, err := sheets.Open(folder, newChecker(t))
	require.NoError(t, err)
	for _, c := range []struct{ cell, says string }{
		{"gone", "There is no file or folder seet.svg. Did you mean seat.svg?"},
		{"nowhere", "There is no file or folder none.svg. Put it into the job's folder, beside the sheets."},
		{"above", "The path ../seat.svg does not lie inside the job's folder."},
		{"root", "The path /etc/hostname does not lie inside the job's folder."},
		{"link", "The path link.svg does not lie inside the job's folder."},
		{"folder", "The path sub.svg leads to no ordinary file."},
		{"large", "The file large.svg is larger than 16 MiB."},
		{"sheet", "bench.sheet holds no drawing: there is no svg element."},
		{"empty", "This names no file."},
		{"by_name", "file of drawing is the name of a file, and stands here itself."},
		{"filled", "file of drawing is the name of a file, and stands here itself."},
		{"number", "file of drawing is the name of a file, and stands here itself."},
		{"open", "open.svg, line 1, path: It is not closed"},
		{"id", `seat.svg holds no element with the id "saet". Did you mean seat?`},
		{"unit", "unit is the length of a user unit of the drawing, above 0. Write unit: 1 mm."},
		{"exact", "The tolerance of a drawing is from 0.0001 mm to 100 mm."},
		{"wrong", "unit of drawing takes a length"},
	} {
		assert.Contains(t, faultOf(t, j, c.cell), c.says, c.cell)
	}

	alone := sheets.Memory(newChecker(t), check.Text{Name: "bench", Text: "a = drawing(\"seat.svg\")\n"})
	c, _ := alone.Sheets[0].Find("a")
	assert.Contains(t, c.Fault.Text, "A sheet that stands alone in memory has no files.")
}

// A drawing that changed is told, taken by reload, and given back by undo; so is one that comes later.
func TestDrawingChanges(t *testing.T) {
	folder := folderWith(t, map[string]string{"bench.sheet": "area = drawing(\"seat.svg\", \"seat\").area [mm^2]\nlate = drawing(\"late.svg\", \"seat\").area [mm^2]\n", "seat.svg": seatDrawing("100")})
	j := edited(t, folder)
	assert.Equal(t, "20000 mm^2", valueOf(t, j, "area"))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "seat.svg"), []byte(seatDrawing("110")), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "late.svg"), []byte(seatDrawing("50")), 0o644))
	assert.Equal(t, []string{"late.svg", "seat.svg"}, j.Outside())
	assert.Equal(t, "20000 mm^2", valueOf(t, j, "area"))
	_, err := j.Reload()
	require.NoError(t, err)
	assert.Equal(t, "22000 mm^2", valueOf(t, j, "area"))
	assert.Equal(t, "10000 mm^2", valueOf(t, j, "late"))
	assert.Empty(t, j.Outside())
	_, err = j.Undo()
	require.NoError(t, err)
	assert.Equal(t, "20000 mm^2", valueOf(t, j, "area"))
	assert.Contains(t, faultOf(t, j, "late"), "There is no file or folder late.svg.")
	_, err = j.Redo()
	require.NoError(t, err)
	assert.Equal(t, "22000 mm^2", valueOf(t, j, "area"))
	assert.Equal(t, map[string]string{"seat.svg": seatDrawing("110"), "late.svg": seatDrawing("50")}, j.Files())
}

// A line that is only looked at takes no file into the job; an edit does.
func TestDrawingOfALine(t *testing.T) {
	folder := folderWith(t, map[string]string{"bench.sheet": "a = 1 mm\n", "seat.svg": seatDrawing("100")})
	j := edited(t, folder)
	_, v, state, _, ms := j.Line(j.Sheets[0], &diag.Source{Name: "the line", Text: `drawing("seat.svg", "seat").area`})
	require.Empty(t, ms)
	require.Equal(t, value.OK, state)
	assert.InEpsilon(t, 0.02, v.Num[0], 1e-12)
	assert.Empty(t, j.Files())
	_, err := j.Edit("edit", sheets.Splice{Sheet: "bench", At: 4, Was: "1 mm", Is: `drawing("seat.svg", "seat").width`})
	require.NoError(t, err)
	assert.Equal(t, "200 mm", valueOf(t, j, "a"))
	assert.Len(t, j.Files(), 1)
}
