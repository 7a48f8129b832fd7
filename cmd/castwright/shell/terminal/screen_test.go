package terminal

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/charmbracelet/x/vt"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// drawn is what an emulator shows, up to its cursor and in all, blanks left out.
func drawn(e *vt.Emulator) (before, all string) {
	cursor := e.CursorPosition()
	var b strings.Builder
	for y := range e.Height() {
		for x := range e.Width() {
			if y == cursor.Y && x == cursor.X {
				before = b.String()
			}
			if cell := e.CellAt(x, y); cell != nil {
				b.WriteString(cell.Content)
			}
		}
	}
	return withoutBlanks(before), withoutBlanks(b.String())
}

func withoutBlanks(s string) string { return strings.Join(strings.Fields(s), "") }

// TestScreenShowsTheLine draws lines at random, writes above and below them, and looks at what is on the screen and
// before the cursor.
func TestScreenShowsTheLine(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	letters := []string{"a", "b", "_", "1", "日", "本", "e\u0301", "\t", "…", "ä"}
	for round := range 30 {
		width := narrowest + random.IntN(30)
		emulator := vt.NewEmulator(width, 200)
		s := newScreen(emulator, func() (int, int) { return width, 200 })
		s.begin("\x1b[1mbar:\x1b[0m ")
		above := ""
		var line []rune
		pos := 0
		for range 25 {
			switch random.IntN(8) {
			case 0:
				note := fmt.Sprintf("<%d>", random.IntN(1000))
				_, err := s.Write([]byte(note + "\n"))
				require.NoError(t, err)
				above += note
			case 1:
				s.below("list\n")
				above += "bar:" + string(line) + "list"
			case 2:
				s.redraw()
			case 3:
				s.finish()
				above += "bar:" + string(line)
				line, pos = nil, 0
				s.begin("\x1b[1mbar:\x1b[0m ")
			case 4:
				// A search goes on.
				_, _ = readlineOutput{s}.Write([]byte("\n\x1b[Jbck-i-search: zz\x1b[4m \x1b[0m\r\x1b[1A"))
				_, all := drawn(emulator)
				require.Contains(t, all, withoutBlanks("bar:"+string(line)+"searching"))
				fallthrough
			default:
				line = nil
				for range random.IntN(3 * width) {
					line = append(line, []rune(letters[random.IntN(len(letters))])...)
				}
				pos = random.IntN(len(line) + 1)
				for pos < len(line) && columns(line[pos]) == 0 {
					pos++ // as the editing keeps it
				}
				output := readlineOutput{s}
				_, _ = output.Write(append([]byte(string(output.Paint(line, pos))), "\b\b"...))
			}
			before, all := drawn(emulator)
			require.Equal(t, withoutBlanks(above+"bar:"+string(line)), all, "round %d, width %d", round, width)
			require.Equal(t, withoutBlanks(above+"bar:"+string(line[:pos])), before, "round %d, width %d", round, width)
		}
	}
}

func TestScreenHoldsBackPartsOfLines(t *testing.T) {
	var out strings.Builder
	s := newScreen(&out, func() (int, int) { return 80, 24 })
	_, _ = s.Write([]byte("free"))
	assert.Equal(t, "free", out.String(), "where no line is typed all is written at once")
	s.begin("> ")
	out.Reset()
	_, _ = s.Write([]byte("part"))
	assert.Empty(t, out.String())
	s.finish()
	assert.Equal(t, "\r\npart", out.String())

	s.begin("> ")
	out.Reset()
	_, _ = s.Write([]byte(strings.Repeat("x", longestHeld+1)))
	assert.Contains(t, out.String(), "xxx\r\n", "nothing is held back for ever")
}

func TestSearchStatus(t *testing.T) {
	assert.Equal(t, "searching back for: ab", searchStatus("\n\x1b[Jbck-i-search: ab\x1b[4m \x1b[0m\r\x1b[1A\x1b[3C"))
	assert.Equal(t, "searching on for: ab (not found)", searchStatus("\n\x1b[Jfailing fwd-i-search: ab\x1b[4m \x1b[0m\r\x1b[1A"))
}
