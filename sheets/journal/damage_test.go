package journal

import (
	"bytes"
	"errors"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// memory is a file in memory.
type memory struct {
	data []byte
}

func (m *memory) WriteAt(b []byte, at int64) (int, error) {
	m.data = append(m.data[:at], b...)
	return len(b), nil
}
func (m *memory) Truncate(n int64) error { m.data = m.data[:n]; return nil }
func (m *memory) Sync() error            { return nil }
func (m *memory) Close() error           { return nil }

// inMemory begins a journal in memory.
func inMemory(t require.TestingT, bases []Base) (*Writer, *memory) {
	first, err := record{Bases: bases}.line()
	require.NoError(t, err)
	m := &memory{append(slices.Clone(head), first...)}
	return &Writer{file: m, end: int64(len(m.data)), records: 1}, m
}

// session is a journal that random edits have made.
type session struct {
	before, after map[string]string
	entries       []Entry
	ends          []int // for each number of whole edits, the length of the file
	counts        []int // and of the entries
	data          []byte
}

// anyText draws texts of letters that are hard on a format, among them bytes that are no letter.
var anyText = rapid.OneOf(
	rapid.StringN(0, 12, -1),
	rapid.Custom(func(t *rapid.T) string { return string(rapid.SliceOfN(rapid.Byte(), 0, 8).Draw(t, "bytes")) }),
	rapid.SampledFrom([]string{"", "\n", "\r\n", "\ufeff", "castwright journal 1\n", `00000000 2 {}` + "\n", `"\u0000<&>`}),
)

func drawSession(t *rapid.T) session {
	s := session{before: map[string]string{}, after: map[string]string{}}
	var bases []Base
	for _, sheet := range []string{"bench", "leg", "mix"} {
		switch rapid.IntRange(0, 2).Draw(t, "sheet") {
		case 0: // made later, and not known at the start
		case 1:
			bases = append(bases, Base{sheet, ""})
		default:
			text := anyText.Draw(t, "text") + anyText.Draw(t, "more")
			s.before[sheet], s.after[sheet] = text, text
			bases = append(bases, Base{sheet, Digest(text)})
		}
	}
	w, m := inMemory(t, bases)
	note := func() { s.ends, s.counts = append(s.ends, len(m.data)), append(s.counts, len(s.entries)) }
	note()
	for step := range rapid.IntRange(0, 8).Draw(t, "edits") {
		var edit []Entry
		for range rapid.IntRange(1, 3).Draw(t, "entries") {
			sheet := rapid.SampledFrom([]string{"bench", "leg", "mix"}).Draw(t, "which")
			text := s.after[sheet]
			at := rapid.IntRange(0, len(text)).Draw(t, "at")
			n := rapid.IntRange(0, len(text)-at).Draw(t, "length")
			e := Entry{sheet, at, text[at : at+n], anyText.Draw(t, "is"), step}
			s.after[sheet] = text[:at] + e.Is + text[at+n:]
			edit = append(edit, e)
		}
		require.NoError(t, w.Append(edit...))
		s.entries = append(s.entries, edit...)
		note()
	}
	s.data = m.data
	return s
}

// prefix tells that what was read is the entries of so many whole edits.
func (s session) prefix(t require.TestingT, edits int, c *Content) {
	same(t, s.entries[:s.counts[edits]], c.Entries)
}

func TestRandomEdits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSession(t)
		c, err := parse("j", s.data)
		require.NoError(t, err)
		require.False(t, c.Torn)
		got, err := c.Replay(s.before)
		require.NoError(t, err)
		require.Equal(t, s.after, got)
		require.True(t, c.Saved(s.after))
		got, err = c.Replay(s.after)
		require.NoError(t, err)
		require.Equal(t, s.after, got)
	})
}

// A file cut off at any byte gives the edits that are whole up to there.
func TestCutAnywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSession(t)
		for n := range len(s.data) + 1 {
			c, err := parse("j", s.data[:n])
			if err != nil {
				require.NoError(t, err, n)
			}
			whole := 0
			for whole+1 < len(s.ends) && s.ends[whole+1] <= n {
				whole++
			}
			s.prefix(t, whole, c)
			if c.Torn != (n != s.ends[whole]) {
				require.Fail(t, "a torn end is where none was, or is not seen", n)
			}
		}
	})
}

// A flipped byte is told, or takes the last edit out; it never gives another text.
func TestFlipAnywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSession(t)
		data := slices.Clone(s.data)
		mask := byte(rapid.IntRange(1, 255).Draw(t, "mask"))
		for at := range data {
			data[at] ^= mask
			s.flipped(t, data, at)
			data[at] ^= mask
		}
	})
}

// flipped checks what is read from data whose byte at a place was changed.
func (s session) flipped(t require.TestingT, data []byte, at int) {
	c, err := parse("j", data)
	if at < len(head) {
		if c != nil || err == nil {
			require.Fail(t, "damage in the first line was not told")
		}
		return
	}
	before := 0 // edits whole before the damage
	for before+1 < len(s.ends) && s.ends[before+1] <= at {
		before++
	}
	s.prefix(t, before, c)
	last := before == len(s.ends)-2 || at < s.ends[0] && len(s.ends) == 1
	switch {
	case err != nil && !errors.Is(err, ErrDamaged):
		require.NoError(t, err)
	case err == nil && !c.Torn:
		require.Fail(t, "damage was not seen")
	case err == nil && !last:
		require.Fail(t, "damage before a whole edit was not told")
	}
}

// Every byte of one journal is given every other value.
func TestFlipEveryByte(t *testing.T) {
	_, data := makeSample(t)
	bases, edits, before, after := sample()
	s := session{before: before, after: after, entries: flat(edits), data: data}
	w, m := inMemory(t, bases)
	s.ends, s.counts = []int{len(m.data)}, []int{0}
	for i, e := range edits {
		require.NoError(t, w.Append(e...))
		s.ends, s.counts = append(s.ends, len(m.data)), append(s.counts, s.counts[i]+len(e))
	}
	require.Equal(t, string(data), string(m.data), "in memory as on disk")
	step := 1
	if testing.Short() {
		step = 16
	}
	for at := range data {
		for mask := 1; mask < 256; mask += step {
			data[at] ^= byte(mask)
			s.flipped(t, data, at)
			data[at] ^= byte(mask)
		}
	}
}

func FuzzRead(f *testing.F) {
	_, data := makeSample(f)
	f.Add(data)
	f.Add(data[:len(data)-20])
	f.Add(bytes.Replace(data, []byte("\n"), []byte(" "), 3))
	f.Add(append(slices.Clone(data), data[len(head):]...))
	f.Add([]byte{})
	f.Add([]byte("castwright journal 1\n00000000 0 \n"))
	f.Add([]byte("castwright journal 2\n"))
	f.Add([]byte("castwright journal 1\n" + line(`{"record":0,"bases":null}`) +
		line(`{"record":1,"edit":[{"sheet":"a","at":-9223372036854775808,"is":"x"},{"at":9223372036854775807}]}`)))
	f.Add([]byte(`{"record":0}` + "\n" + `{"record":1,"edit":[{"sheet":"leg","is":"x"},{"at":1,"was_bytes":"/w=="}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		readable(t, data)
		// And with right checksums, behind which a fuzzer comes by itself only by luck.
		sealed := slices.Clone(head)
		for text := range bytes.SplitSeq(data, []byte("\n")) {
			sealed = append(sealed, line(string(text))...)
		}
		readable(t, sealed)
	})
}

// readable tells that any bytes are read without a panic, and that what is read holds together.
func readable(t *testing.T, data []byte) {
	c, err := parse("j", data)
	if c == nil {
		require.Error(t, err)
		return
	}
	require.LessOrEqual(t, c.whole, int64(len(data)))
	if c.records > 0 {
		// What was found whole reads alike alone, and an edit can be added to it.
		m := &memory{slices.Clone(data[:c.whole])}
		w := &Writer{file: m, end: c.whole, records: c.records}
		more := Entry{"bench", 0, "", "\xff", 1}
		require.NoError(t, w.Append(more))
		again, err := parse("j", m.data)
		require.NoError(t, err)
		same(t, append(slices.Clone(c.Entries), more), again.Entries)
		require.False(t, again.Torn)
	}
	for _, texts := range []map[string]string{nil, {"": "", "a": "x", "bench": benchText, "leg": strings.Repeat("é", 9)}} {
		c.Saved(texts)
		if got, err := c.Replay(texts); err != nil {
			require.Nil(t, got)
		}
	}
}

func BenchmarkAppend(b *testing.B) {
	e := Entry{"bench", 1200, "thickness = 95 mm   # cast in two lifts", "thickness = 100 mm   # cast in two lifts", 1}
	b.Run("disk", func(b *testing.B) {
		w, err := Create(b.TempDir()+"/bench.journal", []Base{{"bench", Digest("")}})
		require.NoError(b, err)
		defer w.Close()
		for b.Loop() {
			if err := w.Append(e); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("memory", func(b *testing.B) {
		w, m := inMemory(b, nil)
		b.ReportAllocs()
		for b.Loop() {
			if err := w.Append(e); err != nil {
				b.Fatal(err)
			}
			if len(m.data) > 1<<20 {
				w, m = inMemory(b, nil)
			}
		}
	})
}

// A journal of a long day: 10,000 edits of a sheet of 200 KB.
func BenchmarkReadReplay(b *testing.B) {
	text := strings.Repeat("thickness = 95 mm   # cast in two lifts\n", 5000)
	w, m := inMemory(b, []Base{{"bench", Digest(text)}})
	for i := range 10_000 {
		require.NoError(b, w.Append(Entry{"bench", i % 5000 * 40, "thick", "THICK", i}, Entry{"bench", i % 5000 * 40, "THICK", "thick", i}))
	}
	for b.Loop() {
		c, err := parse("j", m.data)
		if err != nil {
			b.Fatal(err)
		}
		got, err := c.Replay(map[string]string{"bench": text})
		if err != nil || got["bench"] != text {
			b.Fatal("not the text", err)
		}
	}
}

// A damaged line full of beginnings of records: the search in it is bounded.
func BenchmarkHostileLine(b *testing.B) {
	path := b.TempDir() + "/bench.journal"
	var text []byte
	tail := 0
	for tail < 1<<20 {
		text = append([]byte("00000000 "+itoa(tail)+" "), text...)
		tail = len(text)
	}
	require.NoError(b, os.WriteFile(path, append(slices.Clone(head), append(text, '\n')...), 0o644))
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		c, err := Read(path)
		assert.NoError(b, err)
		assert.True(b, c.Torn)
	}
}
