package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/check"
	"castwright/lang/syntax"
	"castwright/sheets"
	"castwright/stdlib"
)

// The lines that help shows make one sound sheet, and each word that begins a statement has its help.
func TestStatementsOfHelp(t *testing.T) {
	c, ms := check.New(stdlib.New())
	require.Empty(t, ms)
	var lines []string
	told := map[string]bool{}
	for _, s := range statements {
		lines = append(lines, s.example...)
		told[s.word] = true
	}
	j := sheets.Memory(c, check.Text{Name: "help", Text: strings.Join(lines, "\n") + "\n"})
	for _, m := range j.Sheets[0].Messages() {
		if !strings.Contains(m.Draw(), "library") { // a job in memory has no folder to take parts from
			assert.Zero(t, m.Level, m.Draw())
		}
	}
	for _, w := range []string{"title", "section", "system", "count", "ask", "table", "check", "rule", "part", "variant", "correlation", "handout"} {
		assert.True(t, syntax.IsStatementWord(w) && told[w], w)
	}
}
