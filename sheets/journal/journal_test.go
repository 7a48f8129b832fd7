package journal

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const benchText = "title \"Tree bench\"\nthickness = 95 mm   # cast in two lifts\n"

// sample is a journal of three edits, the second over two sheets, with the texts it begins from and comes to.
func sample() (bases []Base, edits [][]Entry, before, after map[string]string) {
	bases = []Base{{"bench", Digest(benchText)}, {"leg", ""}, {"mix", Digest("")}}
	at := strings.Index(benchText, "95")
	edits = [][]Entry{
		{{"bench", at, "95", "100", 1}},
		{{"bench", at + len("100"), " mm", "\u00a0mm", 2}, {"leg", 0, "", "height = 450 mm\n", 2}},
		{{"leg", 9, "450", "1_000", 3}},
	}
	before = map[string]string{"bench": benchText, "mix": ""}
	after = map[string]string{
		"bench": strings.Replace(benchText, "95 mm", "100\u00a0mm", 1),
		"leg":   "height = 1_000 mm\n",
		"mix":   "",
	}
	return
}

// makeSample writes the sample and gives its path and its bytes.
func makeSample(t testing.TB) (string, []byte) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "bench.journal")
	bases, edits, _, _ := sample()
	w, err := Create(path, bases)
	require.NoError(t, err)
	for _, e := range edits {
		require.NoError(t, w.Append(e...))
	}
	require.NoError(t, w.Close())
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return path, data
}

func flat(edits [][]Entry) (all []Entry) {
	for _, e := range edits {
		all = append(all, e...)
	}
	return all
}

// same tells that two lists of entries are alike; none is alike to an empty list.
func same(t require.TestingT, want, got []Entry) {
	if !slices.Equal(want, got) { // at once, since whole files are tried byte by byte
		require.Equal(t, want, got)
	}
}

func TestFormat(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bench.journal")
	w, err := Create(path, []Base{{Sheet: "bench"}})
	require.NoError(t, err)
	require.NoError(t, w.Append(Entry{"bench", 0, "", "check a: 1 < 2 # \"é\"\n", 7}))
	require.NoError(t, w.Append(Entry{"bench", 19, "\xa9", "\xa8", 8})) // the second byte of é becomes that of è
	require.NoError(t, w.Close())
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	// The checksums come from another implementation: see slowChecksum.
	want := "castwright journal 1\n" +
		line(`{"record":0,"bases":[{"sheet":"bench","digest":""}]}`) +
		line(`{"record":1,"edit":[{"sheet":"bench","at":0,"was":"","is":"check a: 1 < 2 # \"é\"\n","step":7}]}`) +
		line(`{"record":2,"edit":[{"sheet":"bench","at":19,"was_bytes":"qQ==","is_bytes":"qA==","step":8}]}`)
	assert.Equal(t, want, string(data))

	c, err := Read(path)
	require.NoError(t, err)
	texts, err := c.Replay(nil)
	require.NoError(t, err)
	assert.Equal(t, map[string]string{"bench": "check a: 1 < 2 # \"è\"\n"}, texts)
}

// line makes a record by other means than the package does.
func line(text string) string {
	return fmt.Sprintf("%08x %d %s\n", slowChecksum([]byte(text)), len(text), text)
}

// slowChecksum is CRC-32C bit by bit.
func slowChecksum(b []byte) uint32 {
	const reversed = 0x82f63b78 // 0x11edc6f41 from the lowest bit up, RFC 3720, 12.1
	sum := ^uint32(0)
	for _, c := range b {
		sum ^= uint32(c)
		for range 8 {
			sum = sum>>1 ^ reversed*(sum&1)
		}
	}
	return ^sum
}

// The example in the package's comment is right, and so is the second opinion of these tests.
func TestChecksum(t *testing.T) {
	// 32 bytes of zeros, RFC 3720, B.4: aa 36 91 8a in the order of the wire.
	assert.Equal(t, uint32(0x8a9136aa), slowChecksum(make([]byte, 32)))
	source, err := os.ReadFile("journal.go")
	require.NoError(t, err)
	assert.Contains(t, string(source), "\n//\t"+line(`{"record":0,"bases":[{"sheet":"bench","digest":""}]}`))
}

func TestReplay(t *testing.T) {
	path, _ := makeSample(t)
	bases, edits, before, after := sample()
	c, err := Read(path)
	require.NoError(t, err)
	assert.Equal(t, bases, c.Bases)
	assert.Equal(t, flat(edits), c.Entries)
	assert.False(t, c.Torn)

	got, err := c.Replay(before)
	require.NoError(t, err)
	assert.Equal(t, after, got)
	assert.NotContains(t, before, "leg", "what was given is left alone")
	assert.False(t, c.Saved(before))
	assert.True(t, c.Saved(after))
	got, err = c.Replay(after)
	require.NoError(t, err)
	assert.Equal(t, after, got, "saved already")

	// A save that was cut off between two sheets: one is done, the other is not.
	half := map[string]string{"bench": after["bench"], "mix": ""}
	assert.False(t, c.Saved(half))
	got, err = c.Replay(half)
	require.NoError(t, err)
	assert.Equal(t, after, got)

	// A sheet without edits may change as it likes.
	before["mix"] = "new"
	got, err = c.Replay(before)
	require.NoError(t, err)
	assert.Equal(t, "new", got["mix"])
}

func TestReplayRefuses(t *testing.T) {
	path, _ := makeSample(t)
	c, err := Read(path)
	require.NoError(t, err)
	_, _, before, _ := sample()
	const rest = " after the edits in the journal were begun, so they do not fit any more; nothing was taken up, and the journal " +
		"was left as it is; put the sheet back as it was, or remove the journal"

	_, err = c.Replay(map[string]string{"bench": benchText + "\n"})
	assert.EqualError(t, err, "bench was changed"+rest)
	assert.ErrorIs(t, err, ErrChanged)
	_, err = c.Replay(nil)
	assert.EqualError(t, err, "bench was taken away"+rest)
	_, err = c.Replay(map[string]string{"bench": benchText, "leg": "made by somebody else"})
	assert.EqualError(t, err, "leg was changed"+rest)
	assert.False(t, c.Saved(nil))

	for _, bad := range []Entry{
		{"bench", 0, "no such", "x", 4}, {"bench", -1, "", "x", 4}, {"bench", 1 << 40, "", "x", 4},
		{"bench", len(benchText) + 2, "too long for the end", "x", 4},
	} {
		c.Entries = append(flat(nil), bad)
		_, err = c.Replay(before)
		assert.EqualError(t, err, "edit 4 of the journal does not fit bench: what it replaces does not stand there; nothing was taken up")
		assert.False(t, c.Saved(before))
	}

	// A sheet without a base is one that did not exist.
	c.Entries = []Entry{{"new", 0, "", "x = 1\n", 1}}
	got, err := c.Replay(before)
	require.NoError(t, err)
	assert.Equal(t, "x = 1\n", got["new"])
}

func TestSavedWithoutEdits(t *testing.T) {
	c := &Content{Bases: []Base{{"bench", Digest(benchText)}}}
	assert.True(t, c.Saved(nil))
	// Edits that take one another back leave nothing to save.
	c.Entries = []Entry{{"bench", 0, "title", "Title", 1}, {"bench", 0, "Title", "title", 2}}
	assert.True(t, c.Saved(map[string]string{"bench": benchText}))
}

func TestCreateReplacesAnOldJournal(t *testing.T) {
	path, _ := makeSample(t)
	w, err := Create(path, nil)
	require.NoError(t, err)
	require.NoError(t, w.Append(Entry{Sheet: "new", Is: "x", Step: 1}))
	require.NoError(t, w.Close())
	c, err := Read(path)
	require.NoError(t, err)
	assert.Equal(t, []Entry{{"new", 0, "", "x", 1}}, c.Entries)

	_, err = Create(filepath.Join(path, "x.journal"), nil)
	assert.ErrorContains(t, err, "a file stands where a folder is wanted")
	_, err = Create(filepath.Dir(path), nil)
	assert.ErrorContains(t, err, "that is a folder")
	_, err = Create(path, []Base{{Sheet: "\xff"}})
	assert.ErrorContains(t, err, "is not written in UTF-8")
}

func TestOpenGoesOn(t *testing.T) {
	path, data := makeSample(t)
	_, edits, _, _ := sample()
	require.NoError(t, os.WriteFile(path, append(data, "0000"...), 0o644))
	w, c, err := Open(path)
	require.NoError(t, err)
	assert.True(t, c.Torn)
	assert.Equal(t, flat(edits), c.Entries)
	now, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(data), string(now), "the torn end is cut off")

	more := Entry{"leg", 0, "", "# a leg\n", 4}
	require.NoError(t, w.Append(more))
	require.NoError(t, w.Append())
	assert.ErrorContains(t, w.Append(Entry{Sheet: "\xff"}), "is not written in UTF-8")
	require.NoError(t, w.Close())
	require.NoError(t, w.Close())
	assert.EqualError(t, w.Append(more), "the journal "+path+" is closed, so the edit was not kept")
	w, c, err = Open(path)
	require.NoError(t, err)
	assert.Equal(t, append(flat(edits), more), c.Entries)
	assert.False(t, c.Torn)

	require.NoError(t, w.Remove())
	require.NoError(t, w.Remove(), "gone already")
	assert.NoFileExists(t, path)
	_, _, err = Open(path)
	assert.EqualError(t, err, "there is no journal "+path)
	assert.ErrorIs(t, err, fs.ErrNotExist)
}

func TestOpenCutOffWhereItBegins(t *testing.T) {
	path, data := makeSample(t)
	for _, n := range []int{0, 5, len(head), len(head) + 9} {
		require.NoError(t, os.WriteFile(path, data[:n], 0o644))
		w, c, err := Open(path)
		assert.EqualError(t, err, "the journal "+path+" was cut off where it begins; there is nothing in it to take up")
		assert.ErrorIs(t, err, ErrEmpty)
		assert.Nil(t, w)
		assert.True(t, c.Torn)
	}
}

func TestReadRefuses(t *testing.T) {
	_, data := makeSample(t)
	lines := strings.SplitAfter(string(data), "\n") // the first line, the bases, three edits, and the empty rest
	const left = "; it was left as it is"
	for _, c := range []struct {
		name, data string
		kind       error
		entries    int
		want       string
	}{
		{"a sheet", benchText, ErrForeign, -1, "%s is no journal of castwright, or its first line is damaged" + left},
		{"an old version", "castwright journal 0\n", ErrForeign, -1, "%s is no journal of castwright, or its first line is damaged" + left},
		{"a later version", "castwright journal 2\nanything", ErrLater, -1, "the journal %s was written by a later castwright, which alone can read it" + left},
		{"a later version, two digits", "castwright journal 10\n", ErrLater, -1, "the journal %s was written by a later castwright, which alone can read it" + left},
		{"the bases are gone", lines[0] + lines[2], ErrDamaged, 0, "the journal %s is damaged where it begins, so that none of its edits can be taken up; the file was left as it is"},
		{"the bases are bad", lines[0] + "x" + lines[1] + lines[2], ErrDamaged, 0, "the journal %s is damaged where it begins, so that none of its edits can be taken up; the file was left as it is"},
		{"the first edit is gone", lines[0] + lines[1] + lines[3], ErrDamaged, 0, "the journal %s is damaged at its edit 1, and none stands before it; the file was left as it is"},
		{"the second is bad", lines[0] + lines[1] + lines[2] + "?" + lines[3] + lines[4], ErrDamaged, 1, "the journal %s is damaged at its edit 2; edit 1 is whole, and the file was left as it is"},
		{"a line end is gone", lines[0] + lines[1] + lines[2] + lines[3][:len(lines[3])-1] + lines[4], ErrDamaged, 1, "the journal %s is damaged at its edit 2; edit 1 is whole, and the file was left as it is"},
		{"an edit stands twice", string(data) + lines[4], ErrDamaged, 4, "the journal %s is damaged at its edit 4; the edits 1 to 3 are whole, and the file was left as it is"},
		{"bases again", string(data) + line(`{"record":4,"bases":[]}`), ErrDamaged, 4, "the journal %s is damaged at its edit 4; the edits 1 to 3 are whole, and the file was left as it is"},
		{"a field of no meaning", string(data) + line(`{"record":4,"edit":[{"sheet":"a","place":3}]}`), ErrDamaged, 4, "the journal %s is damaged at its edit 4; the edits 1 to 3 are whole, and the file was left as it is"},
		{"no JSON", string(data) + line(`{`), ErrDamaged, 4, "the journal %s is damaged at its edit 4; the edits 1 to 3 are whole, and the file was left as it is"},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "bench.journal")
			require.NoError(t, os.WriteFile(path, []byte(c.data), 0o644))
			got, err := Read(path)
			assert.EqualError(t, err, fmt.Sprintf(c.want, path))
			assert.ErrorIs(t, err, c.kind)
			_, edits, _, _ := sample()
			if c.entries < 0 {
				assert.Nil(t, got)
			} else {
				same(t, flat(edits)[:c.entries], got.Entries)
			}
			w, _, err := Open(path)
			assert.ErrorIs(t, err, c.kind)
			assert.Nil(t, w)
			now, err := os.ReadFile(path)
			require.NoError(t, err)
			assert.Equal(t, c.data, string(now), "it is left as it is")
		})
	}
	_, err := Read(t.TempDir())
	assert.ErrorIs(t, err, ErrForeign)
	_, err = Read("/dev/full") // which can be read without end
	assert.Error(t, err)
}

func TestTornEnds(t *testing.T) {
	_, data := makeSample(t)
	_, edits, _, _ := sample()
	for _, end := range []string{
		"0", "\n", "\n\n\n", "\x00\x00\x00", "12345678 9 {}\n", "12345678 2 {}\n", "half of a reco",
		"00000000 99999999999999999999999 {}\n", "00000000  {}\n", "zzzzzzzz 2 {}\n", "00000000 02 {}\n",
		strings.ToUpper(line(`{"abc":1}`)), strings.TrimSuffix(line(`{}`), "\n"),
	} {
		c, err := parse("j", append(data[:len(data):len(data)], end...))
		require.NoError(t, err, "%q", end)
		assert.True(t, c.Torn, "%q", end)
		assert.Equal(t, flat(edits), c.Entries)
	}
}

// failing is a file whose writes, syncs and cuts fail as told.
type failing struct {
	file
	write, sync, cut error
	part             int // how many bytes a failing write still writes
}

func (f *failing) WriteAt(b []byte, at int64) (int, error) {
	if f.write != nil {
		f.file.WriteAt(b[:min(f.part, len(b))], at)
		return f.part, f.write
	}
	return f.file.WriteAt(b, at)
}

func (f *failing) Sync() error {
	if f.sync != nil {
		return f.sync
	}
	return f.file.Sync()
}

func (f *failing) Truncate(n int64) error {
	if f.cut != nil {
		return f.cut
	}
	return f.file.Truncate(n)
}

func TestAppendOnAFailingDisk(t *testing.T) {
	const kept = "the edit was not kept, all edits before it are safe in the journal %s: %s"
	const stuck = "the edit was not kept, and the journal %s takes no more edits until the disk works again; " +
		"all edits confirmed before are safe in it: %s"
	const full, fault = "the disk is full; make room on it and try again", "the disk reports a fault; copy the job to another one"
	for _, c := range []struct {
		name  string
		fails failing
		want  string
		why   string
	}{
		{"nothing is written", failing{write: syscall.ENOSPC}, kept, full},
		{"a part is written", failing{write: syscall.ENOSPC, part: 30}, kept, full},
		{"all is written, and yet refused", failing{write: io.ErrShortWrite, part: 1000}, kept, "short write"},
		{"not synced", failing{sync: syscall.EIO}, stuck, fault}, // the cut cannot be synced either
		{"not cut back", failing{write: syscall.ENOSPC, part: 1000, cut: syscall.EIO}, stuck, full},
	} {
		t.Run(c.name, func(t *testing.T) {
			path, data := makeSample(t)
			w, _, err := Open(path)
			require.NoError(t, err)
			good := w.file
			c.fails.file = good
			w.file = &c.fails
			lost, found := Entry{"leg", 0, "", "lost", 4}, Entry{"leg", 0, "", "found", 4}
			assert.EqualError(t, w.Append(lost), fmt.Sprintf(c.want, path, c.why))
			assert.ErrorContains(t, w.Append(lost), "the edit was not kept", "and again")
			if c.want == kept {
				now, err := os.ReadFile(path)
				require.NoError(t, err)
				assert.Equal(t, string(data), string(now), "it is cut back to what it was")
			}
			// The disk works again.
			w.file = good
			require.NoError(t, w.Append(found))
			require.NoError(t, w.Close())
			got, err := Read(path)
			require.NoError(t, err)
			_, edits, _, _ := sample()
			assert.Equal(t, append(flat(edits), found), got.Entries)
			assert.False(t, got.Torn)
		})
	}
}

// A sync that fails once: what it was for is cut off again.
func TestAppendNotSynced(t *testing.T) {
	path, data := makeSample(t)
	w, _, err := Open(path)
	require.NoError(t, err)
	w.file = &once{file: w.file}
	err = w.Append(Entry{"leg", 0, "", "lost", 4})
	assert.ErrorContains(t, err, "the edit was not kept, all edits before it are safe")
	now, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(data), string(now))
	require.NoError(t, w.Append(Entry{"leg", 0, "", "found", 4}))
	require.NoError(t, w.Close())
}

type once struct {
	file
	done bool
}

func (o *once) Sync() error {
	if !o.done {
		o.done = true
		return syscall.EIO
	}
	return o.file.Sync()
}

// A real device that is always full, and that cannot be cut.
func TestAppendOnAFullDevice(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("this system has no device that is always full")
	}
	w := &Writer{path: "bench.journal", file: full, records: 1}
	err = w.Append(Entry{Sheet: "bench", Is: "x", Step: 1})
	require.ErrorIs(t, err, syscall.ENOSPC)
	assert.ErrorContains(t, err, "takes no more edits until the disk works again")
	require.NoError(t, w.Close())
}

func TestCloseAndRemoveFail(t *testing.T) {
	path, _ := makeSample(t)
	w, _, err := Open(path)
	require.NoError(t, err)
	require.NoError(t, w.file.Close())
	assert.ErrorContains(t, w.Close(), "each edit that was confirmed is safe in it")

	folder := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(folder, "x.journal"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "x.journal", "y"), nil, 0o644))
	w = &Writer{path: filepath.Join(folder, "x.journal"), closed: true}
	assert.ErrorContains(t, w.Remove(), "could not be removed, though all is saved")
}

func TestEntryJSON(t *testing.T) {
	for _, e := range []Entry{
		{}, {"bench", 3, "", "\x00\u2028<&>\ufffd", 1}, {"bench", 3, "\xff", "é", 1}, {"bench", 3, "é", "\xc3", 1},
		{"bench", -3, "\xed\xa0\x80", strings.Repeat("\x80", 1000), -1},
	} {
		text, err := json.Marshal(e)
		require.NoError(t, err)
		var got Entry
		require.NoError(t, json.Unmarshal(text, &got))
		assert.Equal(t, e, got)
	}
	var e Entry
	assert.Error(t, json.Unmarshal([]byte(`{"at":1.5}`), &e))
	assert.True(t, errors.Is(tell(ErrLater, "x"), ErrLater))
}
