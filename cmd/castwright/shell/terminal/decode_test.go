package terminal

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestDecode(t *testing.T) {
	key := func(text string) event { return event{do: pressKey, text: text} }
	text := func(text string) event { return event{do: typeText, text: text} }
	for _, test := range []struct {
		sent string
		want []event
	}{
		{"abc\r", []event{text("abc"), key(keyEnter)}},
		{"a\r\nb\n", []event{text("a"), key(keyEnter), text("b"), key(keyEnter)}},
		{"a\tb", []event{text("a"), {do: finishWord}, text("b")}},
		{"\x00\x03\x14\x1a\x1c", []event{key(keyInterrupt), {do: quit}}},
		{"\x1b[D\x1b[C\x1bOA\x1bOB", []event{key(keyBack), key(keyOn), key(keyEarlier), key(keyLater)}},
		{"\x1b[1;5D\x1b[1;3C\x1b[5D\x1bOc\x1bb\x1bf", []event{{do: wordBack}, {do: wordOn}, {do: wordBack}, {do: wordOn}, {do: wordBack}, {do: wordOn}}},
		{"\x1b[1;2D", []event{key(keyBack)}},
		{"\x1b[H\x1b[4~\x1b[7~\x1bOF", []event{key(keyLineStart), key(keyLineEnd), key(keyLineStart), key(keyLineEnd)}},
		{"\x1b[3~\x1b[3;5~\x1bd\x1b\x7f", []event{{do: deleteNext}, key(keyKillWord), key(keyKillWord), key(keyKillBack)}},
		{"\x1b\x1b[15~\x1b[[Ax\x1bx", []event{text("x"), text("x")}},
		{"\x1b[12\x03", []event{key(keyInterrupt)}},
		{"é日\xffz\u0085" + string(mark), []event{text("é日\ufffdz")}},
		{"\x1b[200~a\tb\r\nc\rd\x00\x1b[31m\x1b[201~e", []event{{do: pasteText, text: "a\tb\nc\nd[31m"}, text("e")}},
		{"\x1b[200~" + strings.Repeat("x", maxPaste+1) + "\x1b[201~", []event{{do: pasteText, over: true}}},
	} {
		var d decoder
		assert.Equal(t, test.want, d.decode([]byte(test.sent)), "%.40q", test.sent)
		assert.Empty(t, d.pending)
	}
}

func TestDecodeLostEndOfPaste(t *testing.T) {
	var d decoder
	assert.Empty(t, d.decode([]byte("\x1b[200~lost\x03more")))
	assert.Equal(t, []event{{do: pressKey, text: keyInterrupt}}, d.decode([]byte(keyInterrupt)))
	assert.Equal(t, []event{{do: typeText, text: "x"}}, d.decode([]byte("x")))
}

// FuzzDecode holds that what is sent means the same in one piece and byte by byte, and that only what a line may hold
// comes through.
func FuzzDecode(f *testing.F) {
	for _, seed := range []string{"abc\r", "\x1b[1;5D\x1b[200~a\r\nb\x1b[201~", "日\xe6\x97", "\xff\xfe", "\x1b[[A\x1bO", "\x1b[999999999999999999999999999999999999999999999999999999999999999999999m"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, sent []byte) {
		if strings.Contains(string(sent), "\x03") || strings.Contains(string(sent), "\r\n") {
			return // alone in a read these mean something of their own
		}
		var whole, pieces decoder
		want := joined(whole.decode(sent))
		var got []event
		for i := range sent {
			got = append(got, pieces.decode(sent[i:i+1])...)
		}
		assert.Equal(t, want, joined(got))
		for _, e := range want {
			if e.do != pressKey {
				assert.NotContains(t, e.text, "\x1b")
				assert.NotContains(t, e.text, string(mark))
			}
		}
	})
}

// joined puts text that was typed together.
func joined(events []event) []event {
	var out []event
	for _, e := range events {
		if n := len(out); n > 0 && e.do == typeText && out[n-1].do == typeText {
			out[n-1].text += e.text
			continue
		}
		out = append(out, e)
	}
	return out
}
