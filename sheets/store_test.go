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
	"castwright/sheets/disk"
	"castwright/sheets/journal"
)

const benchText = "a = 3 mm\nb = 2 * a\n"

// folderWith makes the folder of a job.
func folderWith(t testing.TB, texts map[string]string) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "job")
	require.NoError(t, os.Mkdir(folder, 0o755))
	for name, text := range texts {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644))
	}
	return folder
}

// edited opens a job for editing; there is nothing to take up.
func edited(t testing.TB, path string) *sheets.Job {
	t.Helper()
	j, err := sheets.Open(path, newChecker(t))
	require.NoError(t, err)
	u, err := j.Edits()
	require.NoError(t, err)
	require.Nil(t, u)
	t.Cleanup(func() { j.Close() })
	return j
}

// reopened is the job after the program has ended without a save.
func reopened(t testing.TB, j *sheets.Job) (*sheets.Job, *sheets.Unsaved, error) {
	t.Helper()
	require.NoError(t, j.Close())
	again, err := sheets.Open(j.Path, newChecker(t))
	require.NoError(t, err)
	t.Cleanup(func() { again.Close() })
	u, err := again.Edits()
	return again, u, err
}

// replace edits one piece of a sheet.
func replace(t testing.TB, j *sheets.Job, sheet, was, is string) *sheets.Report {
	t.Helper()
	at := strings.Index(j.Texts()[sheet], was)
	require.GreaterOrEqual(t, at, 0, was)
	r, err := j.Edit("edit", sheets.Splice{Sheet: sheet, At: at, Was: was, Is: is})
	require.NoError(t, err)
	return r
}

func valueOf(t testing.TB, j *sheets.Job, name string) string {
	t.Helper()
	c, ok := j.Sheets[0].Find(name)
	require.True(t, ok, name)
	if j.State(c) >= value.Open {
		return j.State(c).String()
	}
	return show.Column(c.Spec, c.Type, j.Value(c))
}

func onDisk(t testing.TB, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(text)
}

// An edit is in the journal before it is confirmed, and is taken up after a crash as one step that undo takes back.
func TestJournalIsTakenUp(t *testing.T) {
	folder := folderWith(t, map[string]string{"bench.sheet": benchText, "leg.sheet": "c = 1 m\n"})
	j := edited(t, folder)
	replace(t, j, "bench", "3 mm", "5 mm")
	_, err := j.Edit("two", sheets.Splice{Sheet: "leg", At: 4, Was: "1", Is: "2"}, sheets.Splice{Sheet: "bench", At: 0, Is: "# first\n"})
	require.NoError(t, err)
	require.FileExists(t, sheets.JournalPath(folder))
	assert.Equal(t, []string{"bench", "leg"}, j.Dirty())
	texts := j.Texts()

	again, u, err := reopened(t, j)
	require.NoError(t, err)
	require.NotNil(t, u)
	assert.Equal(t, 2, u.Edits)
	assert.False(t, u.Torn)
	assert.Equal(t, []string{"bench", "leg"}, u.Sheets)
	assert.Equal(t, "3 mm", valueOf(t, again, "a"), "nothing is taken up unasked")
	_, err = again.Edit("too soon", sheets.Splice{Sheet: "bench", At: 4, Was: "3", Is: "4"})
	assert.ErrorContains(t, err, "Take them up, or leave them")
	_, err = again.Save()
	assert.ErrorContains(t, err, "take them up, or leave them")

	r, err := again.Take(u)
	require.NoError(t, err)
	assert.Equal(t, texts, again.Texts())
	assert.Len(t, r.Shifts, 3)
	_, err = again.Undo()
	require.NoError(t, err)
	assert.Equal(t, benchText, again.Texts()["bench"])
	assert.NoFileExists(t, sheets.JournalPath(folder))
	_, err = again.Redo()
	require.NoError(t, err)
	third, u, err := reopened(t, again)
	require.NoError(t, err)
	_, err = third.Take(u)
	require.NoError(t, err)
	assert.Equal(t, texts, third.Texts())
}

// A journal that is left is put aside, and nothing in it is lost.
func TestJournalIsLeft(t *testing.T) {
	folder := folderWith(t, map[string]string{"bench.sheet": benchText})
	j := edited(t, folder)
	replace(t, j, "bench", "3 mm", "5 mm")
	again, u, err := reopened(t, j)
	require.NoError(t, err)
	name, err := again.Leave(u)
	require.NoError(t, err)
	assert.Equal(t, sheets.JournalPath(folder)+".kept-1", name)
	c, err := journal.Read(name)
	require.NoError(t, err)
	assert.Len(t, c.Entries, 1)
	replace(t, again, "bench", "3 mm", "7 mm")
	assert.Equal(t, "7 mm", valueOf(t, again, "a"))
}

// The last edit of a torn journal was not confirmed; all before it are there.
func TestTornJournal(t *testing.T) {
	folder := folderWith(t, map[string]string{"bench.sheet": benchText})
	j := edited(t, folder)
	replace(t, j, "bench", "3 mm", "5 mm")
	replace(t, j, "bench", "5 mm", "6 mm")
	whole := onDisk(t, sheets.JournalPath(folder))
	require.NoError(t, j.Close())
	for cut := range 60 {
		require.NoError(t, os.WriteFile(sheets.JournalPath(folder), []byte(whole[:len(whole)-1-cut]), 0o644))
		again, u, err := reopened(t, j)
		require.NoError(t, err)
		require.True(t, u.Torn)
		require.Equal(t, 1, u.Edits)
		_, err = again.Take(u)
		require.NoError(t, err)
		assert.Equal(t, "5 mm", valueOf(t, again, "a"))
		require.NoError(t, again.Close())
	}
}

// A journal of other texts is not taken up, and not written over: the job can be looked at until it is put aside.
func TestJournalOfOtherTexts(t *testing.T) {
	folder := folderWith(t, map[string]string{"bench.sheet": benchText})
	j := edited(t, folder)
	replace(t, j, "bench", "3 mm", "5 mm")
	kept := onDisk(t, sheets.JournalPath(folder))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "bench.sheet"), []byte("a = 9 mm\n"), 0o644))
	again, u, err := reopened(t, j)
	require.ErrorIs(t, err, sheets.ErrJournal)
	require.ErrorIs(t, err, journal.ErrChanged)
	require.Nil(t, u)
	require.Error(t, again.ReadOnly())
	_, err = again.Edit("no", sheets.Splice{Sheet: "bench", At: 4, Was: "9", Is: "8"})
	assert.ErrorContains(t, err, "This job can be looked at here and not changed")
	assert.Equal(t, kept, onDisk(t, sheets.JournalPath(folder)))
	_, err = again.SetAside()
	require.NoError(t, err)
	replace(t, again, "bench", "9 mm", "8 mm")
}

// A folder in the place of the journal is told, and can be put aside.
func TestJournalPathIsAFolder(t *testing.T) {
	folder := folderWith(t, map[string]string{"bench.sheet": benchText})
	require.NoError(t, os.Mkdir(sheets.JournalPath(folder), 0o755))
	j, err := sheets.Open(folder, newChecker(t))
	require.NoError(t, err)
	defer j.Close()
	_, err = j.Edits()
	require.ErrorIs(t, err, sheets.ErrJournal)
	assert.ErrorContains(t, err, "no ordinary file")
	_, err = j.SetAside()
	require.NoError(t, err)
	replace(t, j, "bench", "3 mm", "5 mm")
}

// Where the journal cannot be written no edit is confirmed, and the job is as it was.
func TestJournalCannotBeWritten(t *testing.T) {
	folder := folderWith(t, map[string]string{"bench.sheet": benchText})
	j := edited(t, folder)
	before := facts(j)
	require.NoError(t, os.Mkdir(sheets.JournalPath(folder), 0o755))
	_, err := j.Edit("edit", sheets.Splice{Sheet: "bench", At: 4, Was: "3", Is: "5"})
	require.ErrorContains(t, err, "The edit was not taken")
	sameFacts(t, before, facts(j), "refused")
	require.NoError(t, j.Engine.Check())
	require.NoError(t, os.Remove(sheets.JournalPath(folder)))
	replace(t, j, "bench", "3 mm", "5 mm")

	// A reload that cannot begin its journal leaves the old one, and the edits in it, as they were.
	require.NoError(t, os.WriteFile(filepath.Join(folder, "leg.sheet"), []byte("c = 1 m\n"), 0o644))
	require.NoError(t, os.Mkdir(sheets.JournalPath(folder)+".new", 0o755))
	before = facts(j)
	_, err = j.Reload()
	require.Error(t, err)
	sameFacts(t, before, facts(j), "not reloaded")
	replace(t, j, "bench", "5 mm", "6 mm")
	require.NoError(t, os.Remove(filepath.Join(folder, "leg.sheet")))
	again, u, err := reopened(t, j)
	require.NoError(t, err)
	_, err = again.Take(u)
	require.Error(t, err, "its journal cannot be begun anew either")
	require.NoError(t, os.Remove(sheets.JournalPath(folder)+".new"))
	_, err = again.Take(u)
	require.NoError(t, err)
	assert.Equal(t, "6 mm", valueOf(t, again, "a"))
}

// In a folder that cannot be written a job can be looked at.
func TestFolderThatCannotBeWritten(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Skip("whoever may do everything may write everywhere")
	}
	folder := folderWith(t, map[string]string{"bench.sheet": benchText})
	require.NoError(t, os.Chmod(folder, 0o555))
	defer os.Chmod(folder, 0o755)
	j, err := sheets.Open(folder, newChecker(t))
	require.NoError(t, err)
	_, err = j.Edits()
	require.ErrorContains(t, err, "you may not write in the folder")
	require.Error(t, j.ReadOnly())
	assert.Equal(t, "6 mm", valueOf(t, j, "b"))
}

// Without a lock a job can be looked at.
func TestLockCannotBeTaken(t *testing.T) {
	folder := folderWith(t, map[string]string{"bench.sheet": benchText})
	require.NoError(t, os.Mkdir(filepath.Join(folder, ".job.lock"), 0o755))
	j, err := sheets.Open(folder, newChecker(t))
	require.NoError(t, err)
	_, err = j.Edits()
	require.ErrorContains(t, err, "no lock can be taken")
	require.Error(t, j.ReadOnly())
	assert.Equal(t, "6 mm", valueOf(t, j, "b"))
}

// A second opener can look at the job, is told so, and sees what the first has saved.
func TestSecondOpenerLooks(t *testing.T) {
	folder := folderWith(t, map[string]string{"bench.sheet": benchText})
	first := edited(t, folder)
	second, err := sheets.Open(folder, newChecker(t))
	require.NoError(t, err)
	defer second.Close()
	_, err = second.Edits()
	require.ErrorIs(t, err, disk.ErrHeld)
	_, err = second.Edit("no", sheets.Splice{Sheet: "bench", At: 4, Was: "3", Is: "4"})
	assert.ErrorContains(t, err, "it is open in another place")
	_, err = second.Save()
	assert.ErrorContains(t, err, "looked at")
	replace(t, first, "bench", "3 mm", "5 mm")
	_, err = first.Save()
	require.NoError(t, err)
	assert.Equal(t, []string{"bench.sheet"}, second.Outside())
	_, err = second.Reload()
	require.NoError(t, err)
	assert.Equal(t, "5 mm", valueOf(t, second, "a"))
	assert.Empty(t, second.Outside())
	require.NoError(t, first.Close())
}

// A save puts what was edited on disk, counts the lines, and takes the journal away; undo goes on behind it.
func TestSave(t *testing.T) {
	folder := folderWith(t, map[string]string{"bench.sheet": benchText, "leg.sheet": "c = 1 m\n"})
	j := edited(t, folder)
	replace(t, j, "bench", "a = 3 mm\n", "a = 5 mm\n# new\n# lines\n")
	saved, err := j.Save()
	require.NoError(t, err)
	assert.Equal(t, []sheets.Saved{{Sheet: "bench", Added: 3, Removed: 1}}, saved)
	assert.Equal(t, "a = 5 mm\n# new\n# lines\nb = 2 * a\n", onDisk(t, filepath.Join(folder, "bench.sheet")))
	assert.NoFileExists(t, sheets.JournalPath(folder))
	assert.Empty(t, j.Dirty())
	_, err = j.Undo()
	require.NoError(t, err)
	assert.Equal(t, []string{"bench"}, j.Dirty())
	again, u, err := reopened(t, j)
	require.NoError(t, err)
	_, err = again.Take(u)
	require.NoError(t, err)
	assert.Equal(t, benchText, again.Texts()["bench"])
}

// A sheet that another program has changed is not saved over.
func TestSaveIsRefusedWhereTheFileChanged(t *testing.T) {
	folder := folderWith(t, map[string]string{"bench.sheet": benchText, "leg.sheet": "c = 1 m\n"})
	j := edited(t, folder)
	replace(t, j, "bench", "3 mm", "5 mm")
	replace(t, j, "leg", "1 m", "2 m")
	other := "a = 4 mm\nb = 3 * a\n"
	require.NoError(t, os.WriteFile(filepath.Join(folder, "bench.sheet"), []byte(other), 0o644))
	_, err := j.Save()
	require.ErrorContains(t, err, "was changed by another program")
	assert.Equal(t, "c = 1 m\n", onDisk(t, filepath.Join(folder, "leg.sheet")), "all or none")
	assert.Equal(t, []string{"bench.sheet"}, j.Outside())

	_, err = j.Reload()
	require.NoError(t, err)
	assert.Equal(t, other, j.Texts()["bench"])
	assert.Equal(t, "c = 2 m\n", j.Texts()["leg"], "edits of other sheets stay")
	_, err = j.Undo()
	require.NoError(t, err)
	assert.Equal(t, "a = 5 mm\nb = 2 * a\n", j.Texts()["bench"], "undo brings one's own back")
	_, err = j.Save()
	require.NoError(t, err)
	assert.Equal(t, "a = 5 mm\nb = 2 * a\n", onDisk(t, filepath.Join(folder, "bench.sheet")))
}

// A reload tells only what is new.
func TestReloadTellsWhatIsNew(t *testing.T) {
	folder := folderWith(t, map[string]string{"bench.sheet": benchText + "c = missing\n"})
	j := edited(t, folder)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "bench.sheet"), []byte(benchText+"c = missing\nd = 1 m + 1 kg\n"), 0o644))
	r, err := j.Reload()
	require.NoError(t, err)
	require.Len(t, r.Messages, 1)
	assert.Contains(t, r.Messages[0].Text, "mass")
}

// A CSV file that changed is told, taken by reload, and given back by undo.
func TestFileOfATableChanges(t *testing.T) {
	folder := folderWith(t, map[string]string{"bench.sheet": "table log from \"log.csv\"\ntotal = sum(log.temp)\n", "log.csv": "temp [K]\n3\n4\n"})
	j := edited(t, folder)
	assert.Equal(t, "7 K", valueOf(t, j, "total"))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "log.csv"), []byte("temp [K]\n3\n5\n"), 0o644))
	assert.Equal(t, []string{"log.csv"}, j.Outside())
	assert.Equal(t, "7 K", valueOf(t, j, "total"))
	_, err := j.Reload()
	require.NoError(t, err)
	assert.Equal(t, "8 K", valueOf(t, j, "total"))
	assert.Empty(t, j.Outside())
	_, err = j.Undo()
	require.NoError(t, err)
	assert.Equal(t, "7 K", valueOf(t, j, "total"))
	_, err = j.Redo()
	require.NoError(t, err)
	assert.Equal(t, "8 K", valueOf(t, j, "total"))
}

// A sheet that was taken away outside is taken away by reload; undo brings it back, after a crash too.
func TestSheetTakenAway(t *testing.T) {
	folder := folderWith(t, map[string]string{"bench.sheet": benchText, "leg.sheet": "c = 1 m\n"})
	j := edited(t, folder)
	require.NoError(t, os.Remove(filepath.Join(folder, "leg.sheet")))
	assert.Equal(t, []string{"leg.sheet"}, j.Outside())
	_, err := j.Reload()
	require.NoError(t, err)
	require.Len(t, j.Sheets, 1)
	_, err = j.Undo()
	require.NoError(t, err)
	again, u, err := reopened(t, j)
	require.NoError(t, err)
	_, err = again.Take(u)
	require.NoError(t, err)
	assert.Equal(t, map[string]string{"bench": benchText, "leg": "c = 1 m\n"}, again.Texts())
	_, err = again.Save()
	require.NoError(t, err)
	assert.Equal(t, "c = 1 m\n", onDisk(t, filepath.Join(folder, "leg.sheet")))
}
