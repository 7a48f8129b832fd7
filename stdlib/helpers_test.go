package stdlib_test

import (
	"math"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/sheets"
	"castwright/stdlib"
)

// answer is what a line of the language comes to.
type answer struct {
	shown string
	told  string    // every message, drawn
	si    []float64 // the values in SI
	state value.State
}

var libraryChecker = sync.OnceValues(func() (*check.Checker, diag.List) { return check.New(stdlib.New()) })

// workOut works a line out over a sheet.
func workOut(t testing.TB, sheet, line string) answer {
	t.Helper()
	c, ms := libraryChecker()
	require.Empty(t, ms, "the library is read without a message")
	j := sheets.Memory(c, check.Text{Name: "bench", Text: sheet})
	require.Empty(t, j.Sheets[0].Messages(), sheet)
	cell, v, state, causes, ms := j.Line(j.Sheets[0], &diag.Source{Name: "the line", Text: line})
	a := answer{state: state}
	for _, m := range ms {
		a.told += m.Draw()
	}
	for _, x := range causes {
		a.told += x.Message().Draw()
	}
	if cell != nil && v != nil && state < value.Open {
		a.shown, a.si = show.Column(cell.Spec, cell.Type, v), v.Num
	}
	return a
}

// numbers works out a line over a sheet that comes to a state, and gives numbers.
func numbers(t testing.TB, sheet string, want value.State, line string) []float64 {
	t.Helper()
	a := workOut(t, sheet, line)
	require.Equal(t, want, a.state, "%s\n%s", line, a.told)
	require.NotEmpty(t, a.si, line)
	return a.si
}

// number works out a line that gives one number, and has nothing against it.
func number(t testing.TB, line string) float64 {
	t.Helper()
	si := numbers(t, "", value.OK, line)
	require.Len(t, si, 1, line)
	return si[0]
}

// near holds a line's number against a figure within an accuracy.
func near(t *testing.T, want, within float64, line string) {
	t.Helper()
	assert.InDelta(t, want, number(t, line), within, line)
}

// exactly holds a line's number against a figure, but for the last digits of a float.
func exactly(t *testing.T, want float64, line string) {
	t.Helper()
	near(t, want, 1e-9*math.Max(1, math.Abs(want)), line)
}

// nearAll holds the numbers of a line over a sheet, with nothing against them, against as many figures within an accuracy.
func nearAll(t *testing.T, want []float64, within float64, sheet, line string) {
	t.Helper()
	got := numbers(t, sheet, value.OK, line)
	require.Len(t, got, len(want), line) // InDeltaSlice takes fewer numbers for right
	assert.InDeltaSlice(t, want, got, within, line)
}

// eachAlone holds that a line with a list of values at its {} gives what it gives for each of them by itself.
func eachAlone(t *testing.T, line string, values ...string) {
	t.Helper()
	at := func(v string) string { return strings.Replace(line, "{}", v, 1) }
	var alone []float64
	for _, v := range values {
		alone = append(alone, number(t, at(v)))
	}
	nearAll(t, alone, 0, "", at("("+strings.Join(values, ", ")+")"))
}

// printedAs holds a number against a printed one: to half of its last digit.
func printedAs(t testing.TB, printed, got float64, decimals int, line string) {
	t.Helper()
	assert.InDelta(t, printed, got, 0.5*math.Pow(10, -float64(decimals))*(1+1e-6), line)
}

// figure is a line and the number it must give, as it is printed, with its decimals.
type figure struct {
	line     string
	printed  float64
	decimals int
}

func figures(t *testing.T, lines []figure) {
	t.Helper()
	for _, k := range lines {
		printedAs(t, k.printed, number(t, k.line), k.decimals, k.line)
	}
}

// shows holds lines against what they show, with nothing against them.
func shows(t *testing.T, lines map[string]string) {
	t.Helper()
	for line, shown := range lines {
		a := workOut(t, "", line)
		assert.Equal(t, value.OK, a.state, "%s\n%s", line, a.told)
		assert.Equal(t, shown, a.shown, line)
	}
}

// states holds lines against the state that they come to.
func states(t *testing.T, want value.State, lines ...string) {
	t.Helper()
	for _, line := range lines {
		a := workOut(t, "", line)
		assert.Equal(t, want, a.state, "%s\n%s", line, a.told)
	}
}

// told holds a line against the state that it comes to, and a part of what it tells.
func told(t *testing.T, want value.State, line, part string) {
	t.Helper()
	a := workOut(t, "", line)
	assert.Equal(t, want, a.state, "%s\n%s", line, a.told)
	assert.Contains(t, a.told, part, line)
}

// refuses holds lines against a part of the message that refuses them; they give nothing.
func refuses(t *testing.T, lines map[string]string) {
	t.Helper()
	for line, part := range lines {
		a := workOut(t, "", line)
		assert.Empty(t, a.shown, line)
		assert.Contains(t, a.told, part, line)
	}
}
