package main

import (
	"bytes"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/cmd/castwright/report"
)

// The reference beside the library is what the program writes.
func TestReferenceIsCurrent(t *testing.T) {
	var out, again, errs bytes.Buffer
	require.Equal(t, fine, run([]string{"help", "--all", "--markdown"}, nil, &out, &errs))
	require.Equal(t, fine, run([]string{"help", "--all", "--markdown"}, nil, &again, &errs))
	assert.Empty(t, errs.String())
	assert.Equal(t, out.String(), again.String(), "the same each time")
	kept, err := os.ReadFile("../../stdlib/README.md")
	require.NoError(t, err)
	if !bytes.Equal(out.Bytes(), bytes.ReplaceAll(kept, []byte("\r\n"), []byte("\n"))) {
		t.Errorf("stdlib/README.md is not what the library says now. In the folder of the project: %s", report.ReferenceCommand)
	}
}

// Every link of the reference leads to one heading, every heading can be told from the others, and every row of a table has as
// many places as its heading.
func TestReferenceIsSound(t *testing.T) {
	var out, errs bytes.Buffer
	require.Equal(t, fine, run([]string{"help", "--all", "--markdown"}, nil, &out, &errs))
	headings := map[string]int{}
	for _, m := range regexp.MustCompile(`(?m)^#+ (.+)$`).FindAllStringSubmatch(out.String(), -1) {
		headings[report.Anchor(m[1])]++
	}
	for anchor, n := range headings {
		assert.Equal(t, 1, n, anchor)
	}
	links := regexp.MustCompile(`\]\(#([^)]+)\)`).FindAllStringSubmatch(out.String(), -1)
	assert.Greater(t, len(links), 200)
	for _, l := range links {
		assert.Contains(t, headings, l[1])
	}
	places, tables := 0, 0
	for _, line := range strings.Split(out.String(), "\n") {
		if !strings.HasPrefix(line, "|") {
			places = 0
			continue
		}
		n := strings.Count(strings.ReplaceAll(line, `\|`, ""), "|")
		if places == 0 {
			places, tables = n, tables+1
		}
		assert.Equal(t, places, n, line)
	}
	assert.Greater(t, tables, 30)
}
