package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The README shows what the program really prints, and its sheet is sound.
func TestReadme(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	lines := strings.Split(string(text), "\n")
	shown := 0
	for i := 0; i < len(lines); i++ {
		line, ok := strings.CutPrefix(lines[i], "    $ castwright eval '")
		if !ok {
			continue
		}
		var want []string
		for i+1 < len(lines) && strings.HasPrefix(lines[i+1], "    ") && !strings.HasPrefix(lines[i+1], "    $") {
			i++
			want = append(want, strings.TrimPrefix(lines[i], "    "))
		}
		var out bytes.Buffer
		run([]string{"eval", strings.TrimSuffix(line, "'")}, nil, &out, &out)
		assert.Equal(t, strings.Join(want, "\n")+"\n", out.String(), line)
		shown++
	}
	assert.GreaterOrEqual(t, shown, 4)

	_, sheet, ok := strings.Cut(string(text), "## A sheet\n")
	require.True(t, ok)
	var b strings.Builder
	for _, l := range strings.Split(sheet, "\n") {
		if s, ok := strings.CutPrefix(l, "    "); ok {
			b.WriteString(s + "\n")
		} else if l != "" {
			break
		}
	}
	path := filepath.Join(t.TempDir(), "seat.sheet")
	require.NoError(t, os.WriteFile(path, []byte(b.String()), 0o644))
	var out, errs bytes.Buffer
	assert.Equal(t, fine, run([]string{"show", path}, nil, &out, &errs))
	assert.Empty(t, errs.String())
	assert.Contains(t, out.String(), "mass        57.6 kg")
}
