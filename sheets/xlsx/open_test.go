package xlsx_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"castwright/sheets/xlsx/read"
)

// What is open stands empty where it is to be filled in, and the state beside it, and beside what rests on it, is said in words
// for as long as it waits.
func TestOpenInWords(t *testing.T) {
	j := job(newChecker(t), "ask price [USD]\nask day [date]\nask word [text]\nask guess [USD] assume 3 USD\ncost = price * 2\nlater = day + 3 d\ntold = \"{word} {cost}\"\nbad = 1 / 0\n")
	s := bookOf(t, j).Sheets[0]
	got := cellsOf(s)
	for ref, want := range map[string]string{
		"B4": "", "D4": `=IF(ISBLANK(B4),"open: waits for price","")`,
		"B5": "", "D5": `=IF(ISBLANK(B5),"open: waits for day","")`,
		"B6": "", "D6": `=IF(ISBLANK(B6),"open: waits for word","")`,
		"B7": "3", "D7": "assumed: guess",
		"B8": "=IF(ISBLANK(B4),NA(),B4*2)", "D8": `=IF(ISERROR(B8),"open: waits for price","")`,
		"D9":  `=IF(ISERROR(B9),"open: waits for day","")`,
		"D10": `=IF(ISERROR(B10),"open: waits for price; open: waits for word","")`,
		"D11": "mistake",
	} {
		assert.Equal(t, want, got[ref], ref)
	}
	for _, row := range []int{4, 5, 6, 8, 9, 10} {
		assert.Equal(t, read.Text, s.At(4, row).Kind, "the words stand there before anything is worked out anew")
	}
}
