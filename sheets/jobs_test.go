package sheets_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/sheets"
)

// write puts files into a folder, with the folders that they need.
func write(t testing.TB, folder string, files map[string]string) {
	t.Helper()
	for name, text := range files {
		at := filepath.Join(folder, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(at), 0o755))
		require.NoError(t, os.WriteFile(at, []byte(text), 0o644))
	}
}

func openJob(t testing.TB, path string) *sheets.Job {
	t.Helper()
	j, err := sheets.Open(path, newChecker(t))
	require.NoError(t, err)
	return j
}

// look gives a cell of a job as it is shown, or its state.
func look(t testing.TB, j *sheets.Job, sheet, name string) string {
	t.Helper()
	s := j.Checked.Sheet(sheet)
	require.NotNil(t, s, sheet)
	c, ok := s.Find(name)
	require.True(t, ok, name)
	if j.State(c) >= value.Open {
		return j.State(c).String()
	}
	return show.Column(c.Spec, c.Type, j.Value(c))
}

// told gives the messages of one sheet of a job, a line each.
func told(j *sheets.Job, sheet string) string {
	var b strings.Builder
	for _, m := range j.Checked.Sheet(sheet).Messages() {
		b.WriteString(m.Error() + "\n")
	}
	return b.String()
}

// The paths of parts stay inside the job's folder, whatever way leads out of it (ruling 36).
func TestPartsStayInsideTheFolder(t *testing.T) {
	home := t.TempDir()
	folder := filepath.Join(home, "job")
	write(t, home, map[string]string{
		"away.sheet":           "x = 7\n",
		"job/sub/inside.sheet": "x = 3\n",
		"job/notes.txt":        "x = 3\n",
	})
	for link, to := range map[string]string{
		"sub/file.sheet":  filepath.Join(home, "away.sheet"),
		"sub/folder":      home,
		"sub/chain.sheet": filepath.Join(folder, "sub/file.sheet"),
		"sub/good.sheet":  "inside.sheet",
	} {
		require.NoError(t, os.Symlink(to, filepath.Join(folder, link)))
	}
	const outside = "does not lie inside the job's folder."
	for path, says := range map[string]string{
		"../away.sheet":               outside,
		"sub/../../away.sheet":        outside,
		home + "/away.sheet":          outside,
		`sub\inside.sheet`:            outside,
		"sub/file.sheet":              outside,
		"sub/folder/away.sheet":       outside,
		"sub/chain.sheet":             outside,
		"none.sheet":                  "here is no file or folder none.sheet",
		"sub/none.sheet":              "here is no file or folder sub/none.sheet",
		"none/inside.sheet":           "here is no file or folder none/inside.sheet",
		"notes.txt":                   "the name of a sheet ends with .sheet",
		"sub":                         "the name of a sheet ends with .sheet",
		"":                            "the name of a sheet ends with .sheet",
		"sub/{x}.sheet":               "here is no file or folder sub/{x}.sheet",
		"sub/inside.sheet":            "",
		"./sub/inside.sheet":          "",
		"sub/../sub/inside.sheet":     "",
		"sub/good.sheet":              "",
		"sub/folder/job/sub/in.sheet": "here is no file or folder",
	} {
		write(t, folder, map[string]string{"bench.sheet": "part p from \"" + path + "\"\ny = p.x\nsound = 1\n"})
		j := openJob(t, folder)
		if says == "" {
			assert.Empty(t, told(j, "bench"), path)
			assert.Equal(t, "3", look(t, j, "bench", "y"), path)
			continue
		}
		assert.Contains(t, told(j, "bench"), says, path)
		assert.Len(t, j.Checked.Sheet("bench").Messages(), 1, path)
		assert.Equal(t, "mistake", look(t, j, "bench", "y"), path)
		assert.Equal(t, "1", look(t, j, "bench", "sound"), path)
	}
}

// A part from a subfolder names its own parts and tables by their paths from the job's folder, and sees the neighbours.
func TestPartFromASubfolder(t *testing.T) {
	folder := t.TempDir()
	write(t, folder, map[string]string{
		"bench.sheet":       "part top from \"sub/top.sheet\" (depth: 2 m)\ny = top.edge.area\nz = top.seen\nw = sum(top.log.mass)\n",
		"stock.sheet":       "on_hand = 5\n",
		"sub/top.sheet":     "depth = 1 m\npart edge from \"sub/in/edge.sheet\" (width: depth)\nseen = stock.on_hand\ntable log from \"sub/log.csv\" ()\n",
		"sub/in/edge.sheet": "width = 9 m\narea = width^2\n",
		"sub/log.csv":       "mass [kg]\n1\n2\n",
	})
	j := openJob(t, folder)
	require.Empty(t, told(j, "bench"))
	assert.Equal(t, "4 m^2", look(t, j, "bench", "y"))
	assert.Equal(t, "5", look(t, j, "bench", "z"))
	assert.Equal(t, "3 kg", look(t, j, "bench", "w"))
}

// A sheet that is opened alone takes its parts from its folder all the same; the measures that they state hold for it.
func TestSheetAloneTakesParts(t *testing.T) {
	folder := t.TempDir()
	write(t, folder, map[string]string{
		"bench.sheet": "part leg from \"leg.sheet\" (height: 3 m, fill: 2 bag)\nx = leg.mass\ny = 3 bag [kg]\n",
		"leg.sheet":   "1 bag = 20 kg\nheight = 1 m\nfill = 1 bag\nmass = fill * height / 1 m [kg]\n",
	})
	j := openJob(t, filepath.Join(folder, "bench.sheet"))
	require.Empty(t, told(j, "bench"))
	require.Len(t, j.Sheets, 1)
	assert.Equal(t, "120 kg", look(t, j, "bench", "x"))
	assert.Equal(t, "60 kg", look(t, j, "bench", "y"))
}

// The starter sheets of the library are parts too, also beside a neighbour of the same name.
func TestLibraryParts(t *testing.T) {
	folder := t.TempDir()
	write(t, folder, map[string]string{
		"bench.sheet": "part carry from library \"lift\" (piece_mass: 100 kg, lifters: 3)\nx = carry.piece_mass\npart none from library \"lfit\"\n" +
			"part out from library \"../examples/ring-bench/bench\"\n",
		"lift.sheet": "x = 3\n",
	})
	j := openJob(t, folder)
	assert.Equal(t, "100 kg", look(t, j, "bench", "x"))
	assert.Contains(t, told(j, "bench"), "The library has no starter sheet lfit. Did you mean lift?")
	assert.Contains(t, told(j, "bench"), "The library has no starter sheet ../examples/ring-bench/bench.")
	assert.Len(t, j.Checked.Sheet("bench").Messages(), 2)
	assert.Empty(t, told(j, "lift"))
	results := j.CheckResults(j.Checked.Sheet("bench").Parts[0])
	require.NotEmpty(t, results)
	assert.Equal(t, sheets.Fails, results[0].State, "three people do not carry 100 kg")
}

// A part whose text is no sheet at all is told at its place, and the rest goes on.
func TestPartsWithTextsThatAreNoSheets(t *testing.T) {
	folder := t.TempDir()
	write(t, folder, map[string]string{
		"bench.sheet":   "part a from \"sub/raw.sheet\"\npart b from \"sub/empty.sheet\"\npart c from \"sub/crlf.sheet\"\nx = c.h\ny = b.h\n",
		"sub/raw.sheet": "x\xff = 1\n", "sub/empty.sheet": "", "sub/crlf.sheet": "\ufeffsystem us\r\nh = 3 m\r\n",
	})
	j := openJob(t, folder)
	assert.Contains(t, told(j, "bench"), "a sheet is written in UTF-8")
	assert.Contains(t, told(j, "bench"), "b has no cell h.")
	assert.Equal(t, "3000 mm", look(t, j, "bench", "x"))
}

// An edit of a sheet reaches the parts that are made from it.
func TestEditReachesParts(t *testing.T) {
	folder := t.TempDir()
	write(t, folder, map[string]string{
		"bench.sheet": "part a from \"leg.sheet\"\npart b from \"./leg.sheet\" (height: 5 m)\nx = a.mass\ny = b.mass\n",
		"leg.sheet":   "height = 1 m\nmass = height * 1 kg/m\n",
	})
	j := openJob(t, folder)
	_, err := j.Edit("taller", sheets.Splice{Sheet: "leg", At: 0, Was: "height = 1 m", Is: "height = 2 m"})
	require.NoError(t, err)
	assert.Equal(t, "2 kg", look(t, j, "bench", "x"))
	assert.Equal(t, "5 kg", look(t, j, "bench", "y"))
	_, err = j.Edit("heavier", sheets.Splice{Sheet: "leg", At: strings.Index(j.Texts()["leg"], "1 kg/m"), Was: "1 kg/m", Is: "3 kg/m"})
	require.NoError(t, err)
	assert.Equal(t, "6 kg", look(t, j, "bench", "x"))
	assert.Equal(t, "15 kg", look(t, j, "bench", "y"))
}

// What a part puts in the place of an input is held against that input each time that it is checked.
func TestReplacedInputKeepsItsKind(t *testing.T) {
	folder := t.TempDir()
	write(t, folder, map[string]string{
		"bench.sheet": "tall = 1 m + 1 kg\npart a from \"leg.sheet\" (height: tall)\nx = a.height\n",
		"leg.sheet":   "height = 1 m\n",
	})
	j := openJob(t, folder)
	assert.Equal(t, "mistake", look(t, j, "bench", "x"))
	_, err := j.Edit("sound", sheets.Splice{Sheet: "bench", At: 0, Was: "tall = 1 m + 1 kg", Is: "tall = 2 m"})
	require.NoError(t, err)
	assert.Equal(t, "2000 mm", look(t, j, "bench", "x"))
	assert.Equal(t, "2 m", look(t, j, "bench", "a.height"), "it is shown as its own sheet shows it")
	_, err = j.Edit("heavy", sheets.Splice{Sheet: "bench", At: 0, Was: "tall = 2 m", Is: "tall = 2 kg"})
	require.NoError(t, err)
	assert.Equal(t, "mistake", look(t, j, "bench", "x"))
	assert.Contains(t, told(j, "bench"), "height of leg takes a length; tall is a mass.")
}
