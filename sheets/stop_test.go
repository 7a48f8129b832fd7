package sheets_test

import (
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/check"
	"castwright/lang/work"
	"castwright/sheets"
)

// stopping stops work again and again, as somebody who keeps Ctrl-C pressed does, until the function that it gives is called.
func stopping(m *work.Meter) (enough func()) {
	over := make(chan struct{})
	var presses sync.WaitGroup
	presses.Go(func() {
		for {
			select {
			case <-over:
				return
			default:
				m.Stop()
				runtime.Gosched()
			}
		}
	})
	return func() {
		close(over)
		presses.Wait()
	}
}

// Opening can be stopped: there is no job then, and it can be opened again.
func TestStopOpening(t *testing.T) {
	folder := t.TempDir()
	write(t, folder, map[string]string{"bench.sheet": many(20_000)})
	c := newChecker(t)
	var m work.Meter
	enough := stopping(&m)
	j, err := sheets.OpenWatched(folder, c, &m)
	enough()
	require.ErrorIs(t, err, sheets.ErrStopped)
	assert.Nil(t, j)

	j, err = sheets.OpenWatched(folder, c, &m)
	require.NoError(t, err)
	assert.Empty(t, j.Sheets[0].Messages())
	assert.Equal(t, "6 mm", valueOf(t, j, "double_size"))
	s, _, _ := m.At()
	assert.Equal(t, work.Idle, s)
}

// A reload that is stopped leaves the job as it was, down to its cells.
func TestStopReload(t *testing.T) {
	folder := t.TempDir()
	text := many(20_000)
	write(t, folder, map[string]string{"bench.sheet": text})
	j := openJob(t, folder)
	_, err := j.Edits()
	require.NoError(t, err)
	defer j.Close()
	was, first := j.Checked, j.Sheets[0].Cells()[0]
	require.NoError(t, os.WriteFile(filepath.Join(folder, "bench.sheet"), []byte(strings.Replace(text, "3 mm", "4 mm", 1)), 0o644))

	enough := stopping(j.Meter())
	_, err = j.Reload()
	enough()
	require.ErrorContains(t, err, "Stopped")
	assert.Same(t, was, j.Checked)
	assert.Same(t, first, j.Sheets[0].Cells()[0])
	assert.Equal(t, "6 mm", valueOf(t, j, "double_size"))
	assert.NoError(t, j.Engine.Check())
	assert.Equal(t, []string{"bench.sheet"}, j.Outside(), "it is still to be taken")

	r, err := j.Reload()
	require.NoError(t, err)
	assert.Contains(t, shifts(r), "double_size: 6 mm → 8 mm")
	_, err = j.Undo()
	require.NoError(t, err)
	assert.Equal(t, "6 mm", valueOf(t, j, "double_size"))
}

// An edit for which all is made anew can be stopped while that is checked, and is taken back.
func TestStopWhatMakesAllAnew(t *testing.T) {
	j := inMemory(t, "1 bag = 80 lb\nload = 2 bags [kg]\n"+many(20_000))
	text := j.Texts()["bench"]
	var press sync.WaitGroup
	press.Go(func() {
		for {
			if s, _, _ := j.Meter().At(); s == work.Checking {
				j.Stop()
				return
			}
			runtime.Gosched()
		}
	})
	_, err := j.Edit("bag", one(t, j, "80 lb", "60 lb"))
	press.Wait()
	require.ErrorContains(t, err, "Stopped: the edit was taken back.")
	assert.Equal(t, text, j.Texts()["bench"])
	assert.Empty(t, j.Sheets[0].Messages())
	assert.Equal(t, "72.57 kg", valueOf(t, j, "load")) // 1 lb = 0.45359237 kg (NIST SP 811)
	assert.NoError(t, j.Engine.Check())
	r, err := j.Edit("bag", one(t, j, "80 lb", "60 lb"))
	require.NoError(t, err)
	assert.Equal(t, []string{"load: 72.57 kg → 54.43 kg"}, shifts(r))
}

// What is checked while the meter stops it has no programs; nothing in it is taken for sound.
func TestStoppedCheck(t *testing.T) {
	var m work.Meter
	m.Stop()
	j := newChecker(t).OpenWatched([]check.Text{{Name: "bench", Text: "a = 3 mm\nb = a * 2\n"}}, nil, &m)
	for _, s := range j.Sheets {
		for _, c := range s.Cells() {
			assert.Nil(t, c.Program, c.Name)
		}
	}
}
