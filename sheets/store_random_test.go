package sheets_test

import (
	"bufio"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/sheets"
	"castwright/sheets/journal"
)

// stored is a session whose job stands on disk.
type stored struct {
	*session
	disk  map[string]string // the sheets as they are in the folder
	known map[string]string // as the job has read or saved them last
	csv   string            // the file as it is in the folder
}

// logSheet reads the file of the folder, and is not edited.
const logSheet = "zlog"

func startOnDisk(t require.TestingT, temp string, d dice, s *session) *stored {
	s.t, s.dice, s.files = t, d, true
	s.folder, s.twin = filepath.Join(temp, "job"), filepath.Join(temp, "twin")
	for _, f := range []string{s.folder, s.twin} {
		require.NoError(t, os.RemoveAll(f))
		require.NoError(t, os.MkdirAll(f, 0o755))
	}
	k := &stored{session: s, disk: s.randomTexts(), csv: "x [mm],n [1],kind [text]\n3,1,a\n4,2,b\n"}
	k.disk[logSheet] = "table log from \"log.csv\"\nlongest = largest(log.x)\n"
	writeAll(t, s.folder, k.disk, k.csv)
	s.note("start %q", k.disk)
	k.open()
	k.agrees()
	return k
}

// open opens the job as it is on disk.
func (s *stored) open() *sheets.Unsaved {
	j, err := sheets.Open(s.folder, s.c)
	require.NoError(s.t, err)
	u, err := j.Edits()
	require.NoError(s.t, err, strings.Join(s.log, "\n"))
	s.j, s.known, s.line = j, maps.Clone(s.disk), false
	s.now, s.done, s.undone = snapshot{texts: maps.Clone(s.disk), csv: s.csv}, nil, nil
	return u
}

// edits draws one step over the sheets that may be edited.
func (s *stored) edits() {
	texts := maps.Clone(s.now.texts)
	if delete(texts, logSheet); len(texts) > 0 {
		s.carry(s.splices(names(texts), texts))
	}
	s.replays()
}

// replays compares what the journal makes of the sheets on disk with those in memory.
func (s *stored) replays() {
	texts := s.known
	c, err := journal.Read(sheets.JournalPath(s.folder))
	if !errors.Is(err, fs.ErrNotExist) {
		require.NoError(s.t, err)
		texts, err = c.Replay(s.known)
		require.NoError(s.t, err, strings.Join(s.log, "\n"))
	}
	for n, text := range s.now.texts {
		require.Equal(s.t, text, texts[n], "the journal gives another text: %s", strings.Join(s.log, "\n"))
	}
}

// write changes a file of the folder as another program would.
func (s *stored) write(name, text string) {
	require.NoError(s.t, os.WriteFile(filepath.Join(s.folder, name), []byte(text), 0o644))
}

// reload lets another program change files, and takes that.
func (s *stored) reload() {
	for range 1 + s.dice(2) {
		name := s.one(sheetNames...)
		_, there := s.disk[name]
		switch s.dice(5) {
		case 0:
			s.csv = "x [mm],n [1],kind [text]\n" + s.one("3,1,a\n", "5,,b\n7,3,a\n", "2 kg,1,a\n", "1,1,c\n1,1,c\n")
			s.note("write %q", s.csv)
			s.write("log.csv", s.csv)
		case 1:
			if there {
				s.note("remove %s", name)
				require.NoError(s.t, os.Remove(filepath.Join(s.folder, name+".sheet")))
				delete(s.disk, name)
			}
		default:
			text := s.sheet()
			if there && s.often(70) {
				text = spliced(s.disk, s.splices([]string{name}, s.disk))[name]
			}
			s.note("write %s %q", name, text)
			s.write(name+".sheet", text)
			s.disk[name] = text
		}
	}
	to := snapshot{texts: map[string]string{}, csv: s.csv}
	for n, text := range s.disk {
		to.texts[n] = text
		if mine, ok := s.now.texts[n]; ok && s.known[n] == text {
			to.texts[n] = mine
		}
	}
	s.note("reload")
	r, err := s.j.Reload()
	require.NoError(s.t, err)
	s.line = false
	s.known = maps.Clone(s.disk)
	s.taken(r, to)
	s.agrees()
	require.Empty(s.t, s.j.Outside())
}

// save puts the job on disk.
func (s *stored) save() {
	s.note("save")
	_, err := s.j.Save()
	require.NoError(s.t, err, strings.Join(s.log, "\n"))
	for n, text := range s.now.texts {
		s.disk[n] = text
		require.Equal(s.t, text, onDiskOf(s.t, filepath.Join(s.folder, n+".sheet")))
	}
	s.known = maps.Clone(s.disk)
	require.NoFileExists(s.t, sheets.JournalPath(s.folder))
	s.agrees()
}

func onDiskOf(t require.TestingT, path string) string {
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(text)
}

// crash ends the program and begins again.
func (s *stored) crash() {
	s.note("crash")
	want := s.now.texts
	require.NoError(s.t, s.j.Close())
	u := s.open()
	s.agrees()
	s.first = s.now
	if u != nil {
		before := s.now
		_, err := s.j.Take(u)
		require.NoError(s.t, err)
		s.done = []snapshot{before}
		s.now = snapshot{texts: maps.Clone(s.disk), csv: s.csv}
		maps.Copy(s.now.texts, want)
		s.agrees()
	}
	for n, text := range want {
		require.Equal(s.t, text, s.now.texts[n], strings.Join(s.log, "\n"))
	}
}

// Random edits, undos, reloads, saves and crashes of jobs on disk: the job is what a fresh one is, and the journal gives
// it back after each step.
func TestRandomEditsOnDisk(t *testing.T) {
	c := newChecker(t)
	temp := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		s := startOnDisk(t, temp, rapidDice(t), &session{c: c})
		defer func() { s.j.Close() }()
		s.run(15, func() {
			switch s.dice(8) {
			case 0:
				s.reload()
			case 1:
				s.save()
			case 2:
				s.crash()
			default:
				s.edits()
				return
			}
			s.replays()
		})
	})
}

// childFolder is set where the test binary runs as a program that edits a job until it is killed.
const childFolder = "CASTWRIGHT_EDITS_CHILD"

// TestChildEdits is that program. It says after each edit that it is confirmed.
func TestChildEdits(t *testing.T) {
	folder := os.Getenv(childFolder)
	if folder == "" {
		t.Skip("it is run by another test")
	}
	j, _ := takenUp(t, folder)
	for n := lines(j.Texts()["bench"]); ; n++ {
		texts := j.Texts()
		line := fmt.Sprintf("x%d = %d mm%s\n", n, n, strings.Repeat(" ", n%5*300))
		_, err := j.Edit("more", sheets.Splice{Sheet: "bench", At: len(texts["bench"]), Is: line},
			sheets.Splice{Sheet: "leg", At: 0, Is: fmt.Sprintf("y%d = bench.x%d\n", n, n)})
		require.NoError(t, err)
		fmt.Println("confirmed", n)
		switch n % 7 {
		case 3:
			_, err = j.Save()
		case 5:
			fmt.Println("confirmed", n-1) // it is taken back
			if _, err = j.Undo(); err == nil {
				_, err = j.Redo()
			}
			fmt.Println("confirmed", n)
		}
		require.NoError(t, err)
	}
}

func lines(text string) int { return strings.Count(text, "\n") }

// takenUp opens a job and takes up what was not saved.
func takenUp(t testing.TB, folder string) (*sheets.Job, bool) {
	j, err := sheets.Open(folder, newChecker(t))
	require.NoError(t, err)
	u, err := j.Edits()
	require.NoError(t, err)
	if u == nil {
		return j, false
	}
	_, err = j.Take(u)
	require.NoError(t, err)
	return j, true
}

// No edit that was confirmed is lost where the program is killed, and none is there in part.
func TestKilledWhileEditing(t *testing.T) {
	rounds := 30
	if testing.Short() {
		rounds = 5
	}
	folder := folderWith(t, map[string]string{"bench.sheet": "", "leg.sheet": ""})
	random := rand.New(rand.NewPCG(1, 2))
	confirmed := -1
	for range rounds {
		cmd := exec.Command(os.Args[0], "-test.run=^TestChildEdits$")
		cmd.Env = append(os.Environ(), childFolder+"="+folder)
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		said := bufio.NewScanner(out)
		hear := func() {
			if n, ok := strings.CutPrefix(said.Text(), "confirmed "); ok {
				confirmed, err = strconv.Atoi(n)
				require.NoError(t, err)
			}
		}
		for range 1 + random.IntN(20) {
			require.True(t, said.Scan(), "the child ended by itself")
			hear()
		}
		require.NoError(t, cmd.Process.Kill())
		for said.Scan() {
			hear()
		}
		cmd.Wait()
		j, _ := takenUp(t, folder)
		texts := j.Texts()
		n := lines(texts["bench"])
		require.GreaterOrEqual(t, n, confirmed+1, "a confirmed edit is lost")
		require.LessOrEqual(t, n, confirmed+2, "more than one edit was under way")
		require.Equal(t, n, lines(texts["leg"]), "an edit is there in part")
		for i := range n {
			require.Contains(t, texts["bench"], fmt.Sprintf("x%d = %d mm", i, i))
		}
		require.NoError(t, j.Close())
	}
	require.Positive(t, confirmed)
}

// Edits that reach columns so long that several cores share them give the same values, to the last bit, on one core and on
// two, and those of a fresh job.
func TestLongColumnsOnOneCoreAndTwo(t *testing.T) {
	rows := 70_000
	if testing.Short() {
		rows = 34_000
	}
	var csv strings.Builder
	csv.WriteString("x [mm],n [1]\n")
	for i := range rows {
		fmt.Fprintf(&csv, "%d.%d,%d\n", i%977, i%10, i%7)
	}
	const text = "k = 3\nlow = 40 mm\ntable log from \"log.csv\" ()\n  v = x * k / 7 + low\n  w = if x > low then sqrt(v * x) else v\n  | x [mm] | n\nend\ntotal = sum(log.w)\nmiddle = mean(log.v where log.n == 3)\nspread = deviation(log.w)\n"
	edits := [][2]string{{"k = 3", "k = 3.1"}, {"low = 40 mm", "low = 900 mm"}, {"/ 7", "/ 11"}, {"n == 3", "n == 4"}, {"sqrt(v * x)", "v + x"}, {"k = 3.1", "k = 3"}}
	if testing.Short() {
		edits = edits[:2]
	}
	var all [2][]string
	for i := range all {
		before := runtime.GOMAXPROCS(i + 1)
		j := edited(t, folderWith(t, map[string]string{"bench.sheet": text, "log.csv": csv.String()}))
		require.Empty(t, j.Sheets[0].Messages())
		for _, e := range edits {
			replace(t, j, "bench", e[0], e[1])
			require.NoError(t, j.Engine.Check())
			all[i] = append(all[i], facts(j))
		}
		for range edits {
			_, err := j.Undo()
			require.NoError(t, err)
			all[i] = append(all[i], facts(j))
		}
		runtime.GOMAXPROCS(before)
	}
	for k := range all[0] {
		sameFacts(t, all[0][k], all[1][k], "one core and two")
	}
	last := len(all[0]) - 1
	f := edited(t, folderWith(t, map[string]string{"bench.sheet": text, "log.csv": csv.String()}))
	sameFacts(t, facts(f), all[0][last], "all taken back")
}
