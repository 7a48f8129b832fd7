package xlsx_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"castwright/lang/check"
	"castwright/lang/syntax"
	"castwright/sheets"
)

// For each handout of the example: every input, note, title and heading outside its list, on which no listed value rests, is
// changed one after another, and the package stays the same to the last byte.
func TestNonInterferenceOfTheExample(t *testing.T) {
	c := newChecker(t)
	folder := filepath.Join(t.TempDir(), "bench")
	require.NoError(t, os.CopyFS(folder, os.DirFS("../examples/ring-bench")))
	j, err := sheets.Open(folder, c)
	require.NoError(t, err)
	for _, name := range []string{"supplier", "customer"} {
		base := handoutBytes(t, j, name)
		tried := 0
		for _, s := range j.Sheets {
			for i := range s.File.Items {
				for _, is := range changed(s.File.Items[i]) {
					tried += interfere(t, j, s.Name, i, is, name, base)
				}
			}
		}
		t.Logf("%s: %d changes outside the list", name, tried)
		require.Greater(t, tried, 60)
	}
}

// interfere makes one change, compares, and takes it back; 0 where it was refused or a listed value rests on it.
func interfere(t *testing.T, j *sheets.Job, sheet string, item int, is sheets.Splice, name string, base []byte) int {
	s := j.Checked.Sheet(sheet)
	it := s.File.Items[item]
	if feedsHandout(t, j, s, it, name) {
		return 0
	}
	for _, before := range s.File.Items[:item] {
		is.At += len(before.Source.Text)
	}
	is.Sheet = sheet
	if _, err := j.Edit("change", is); err != nil {
		return 0
	}
	got := handoutBytes(t, j, name)
	require.True(t, bytes.Equal(base, got), "%s: %q for %q in %q", name, is.Is, is.Was, it.Source.Text)
	_, err := j.Undo()
	require.NoError(t, err)
	return 1
}

// feedsHandout tells whether a listed value rests on a cell of a statement, or is one.
func feedsHandout(t *testing.T, j *sheets.Job, s *check.Sheet, it *syntax.Item, name string) bool {
	h, err := j.FindHandout(name)
	require.NoError(t, err)
	listed := map[*check.Cell]bool{h.Title: true}
	for _, x := range h.Items {
		listed[x.Value], listed[x.Target] = true, true
	}
	seen := map[*check.Cell]bool{}
	queue := append([]*check.Cell{}, s.CellsOf(it)...)
	for len(queue) > 0 {
		c := queue[0]
		queue = queue[1:]
		if seen[c] {
			continue
		}
		seen[c] = true
		if listed[c] {
			return true
		}
		queue = append(queue, j.Users(c)...)
	}
	return it.Statement == h.Item.Statement
}

// changed gives changes of a statement: its number, its text, its note; places count from the statement's text.
func changed(it *syntax.Item) []sheets.Splice {
	var out []sheets.Splice
	add := func(from, to int, is string) {
		from, to = from-it.Source.Base, to-it.Source.Base
		out = append(out, sheets.Splice{At: from, Was: it.Source.Text[from:to], Is: is})
	}
	if n := it.NoteSpan; n.To > n.From {
		add(n.From, n.To, "# another note")
	}
	switch st := it.Statement.(type) {
	case *syntax.Cell:
		literals(st.Expr, add)
	case *syntax.Ask:
		if st.Assume != nil {
			literals(st.Assume, add)
		}
	case *syntax.Title:
		add(st.Text.Span.From+1, st.Text.Span.From+1, "Another ")
	case *syntax.Section:
		add(st.Text.Span.From+1, st.Text.Span.From+1, "Another ")
	case *syntax.Check:
		if st.Else != nil {
			add(st.Else.Span.From+1, st.Else.Span.From+1, "Another ")
		}
	}
	return out
}

func literals(e syntax.Expr, add func(from, to int, is string)) {
	done := false
	syntax.Walk(e, func(x syntax.Expr) {
		q, ok := x.(*syntax.Quantity)
		if !ok || done || len(q.Parts) != 1 || q.Parts[0].Number.Den != 0 {
			return
		}
		done = true
		n, _ := q.Parts[0].Number.Value.Float64()
		at := q.Parts[0].Number.Span
		add(at.From, at.To, strings.TrimSuffix(fmt.Sprintf("%.4f", n*1.25+1), "0"))
	})
}
