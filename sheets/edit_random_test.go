package sheets_test

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"castwright/engine"
	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/show"
	"castwright/lang/value"
	"castwright/sheets"
)

// facts tells all that there is to know of a job, a line each: texts, cells, types, values to the last bit, states and
// causes of every row, messages, checks, users.
func facts(j *sheets.Job) string {
	var b strings.Builder
	var down func(s *check.Sheet)
	down = func(s *check.Sheet) {
		fmt.Fprintf(&b, "sheet %s us %v units %q names %q\n", s.Path(), s.US, j.Checked.Units(), s.Names())
		for _, c := range s.Cells() {
			factsOf(&b, j, c)
		}
		for _, r := range j.CheckResults(s) {
			fmt.Fprintf(&b, "  check %s %q is %s, words %q, rows %v, broken %v\n", r.Name, r.Text, r.State, r.Words, r.Rows, r.Broken)
		}
		if s.Title() != nil {
			fmt.Fprintf(&b, "  title %q\n", j.Words(s.Title()))
		}
		for _, p := range s.Parts {
			down(p)
		}
	}
	for _, s := range j.Checked.Sheets {
		fmt.Fprintf(&b, "text %q\n", s.File.Print())
		for _, it := range s.File.Items {
			if it.Statement != nil || it.Bad {
				fmt.Fprintf(&b, "  item %q note %q bad %v\n", it.Source.Text, it.Note, it.Bad)
			}
		}
		down(s)
		for _, m := range s.Messages() {
			fmt.Fprintf(&b, "  message %d %s\n", m.Level, messageFact(m))
		}
	}
	return b.String()
}

func messageFact(m *diag.Message) string {
	out := fmt.Sprintf("%s: %s > %s", placeFact(m.Source, m.Span), m.Text, m.WayOut)
	for _, r := range m.Related {
		if strings.HasPrefix(r.Text, "The cell stands here") {
			continue // in a part it is told at a wrong place
		}
		out += " / " + placeFact(r.Source, r.Span) + ": " + r.Text
	}
	return out
}

func placeFact(s *diag.Source, at diag.Span) string {
	if s == nil {
		return "nowhere"
	}
	line, place := s.Position(at.From)
	return fmt.Sprintf("%s:%d:%d %q", s.Name, line, place, s.Cut(at))
}

func factsOf(b *strings.Builder, j *sheets.Job, c *check.Cell) {
	section := ""
	if c.Section != nil {
		section = c.Section.Source.Cut(c.Section.Span)
	}
	fmt.Fprintf(b, "cell %s role %d type %s list %v note %q section %q answer %d at %s", c.Path(), c.Role, c.Type, c.Type.List, c.Note, section, c.Answer, placeFact(c.Item.Source, c.NameSpan))
	if c.Limits != nil {
		fmt.Fprintf(b, " limits %+v", *c.Limits)
	}
	if c.Root != nil {
		fmt.Fprintf(b, " root %s", c.Root.Path())
	}
	for _, k := range c.Columns {
		fmt.Fprintf(b, " column %s", k.Path())
	}
	if c.Table != nil {
		fmt.Fprintf(b, " table %s", c.Table.Path())
	}
	for _, r := range c.Rules {
		fmt.Fprintf(b, " rule %s", r.Name)
	}
	b.WriteString("\n")
	if c.Fault != nil && c.Root == nil {
		fmt.Fprintf(b, "  fault %s\n", messageFact(c.Fault))
	}
	for _, m := range c.Messages {
		fmt.Fprintf(b, "  tells %s\n", messageFact(m))
	}
	v := j.Value(c)
	if j.State(c) < value.Open && c.Spec != nil {
		fmt.Fprintf(b, "  shown %s by %v %v %v\n", show.ColumnWithStates(c.Spec, c.Type, v, j.Engine.StateOf), c.Spec.Step, c.Spec.Tape, c.Spec.Word)
	}
	fmt.Fprintf(b, "  state %s\n", j.State(c))
	causeFacts(b, j.Causes(c))
	columnFacts(b, j, v, "  ")
	for i := range v.Len() {
		if rows := j.Engine.RowCauses(engine.ID(c.ID), i); len(rows) > 0 {
			fmt.Fprintf(b, "  row %d %s\n", i, j.Engine.RowState(engine.ID(c.ID), i))
			causeFacts(b, rows)
		}
	}
	var users []string
	for _, u := range j.Users(c) {
		users = append(users, u.Path())
	}
	sort.Strings(users)
	fmt.Fprintf(b, "  users %q\n", users)
}

func causeFacts(b *strings.Builder, causes []engine.Cause) {
	for _, x := range causes {
		fmt.Fprintf(b, "    cause %s %d %s %s row %d %s\n", x.State, x.Kind, x.Name, x.Cell, x.Row, messageFact(x.Message()))
	}
}

// columnFacts tells the values to the last bit, and the state of each.
func columnFacts(b *strings.Builder, j *sheets.Job, v *value.Column, indent string) {
	fmt.Fprintf(b, "%s%d all %s:", indent, v.Len(), j.Engine.StateOf(v.All))
	for i := range v.Len() {
		if v.Num != nil {
			fmt.Fprintf(b, " %x", math.Float64bits(v.Num[i]))
		}
		if v.Text != nil {
			fmt.Fprintf(b, " %q", v.Text[i])
		}
		if m := v.Mark(i); m != 0 {
			fmt.Fprintf(b, " %s", j.Engine.StateOf(m))
		}
		if v.Rows != nil {
			fmt.Fprintf(b, " of row %d", v.Row(i))
		}
	}
	b.WriteString("\n")
	for i := range v.Fields {
		columnFacts(b, j, &v.Fields[i], indent+"  ")
	}
}

// sameFacts stops at the first line that differs.
func sameFacts(t require.TestingT, want, got, what string) {
	if want == got {
		return
	}
	a, b := strings.Split(want, "\n"), strings.Split(got, "\n")
	head := ""
	for i := range max(len(a), len(b)) {
		x, y := "(nothing)", "(nothing)"
		if i < len(a) {
			x = a[i]
		}
		if i < len(b) {
			y = b[i]
		}
		if x != y {
			require.FailNow(t, what, "in %s\nit should be %s\nand is       %s", head, x, y)
		}
		if !strings.HasPrefix(x, " ") {
			head = x
		}
	}
}

// session is a job under random edits, and what is to be true of it.
type session struct {
	t require.TestingT
	writer
	c      *check.Checker
	j      *sheets.Job
	now    snapshot
	first  snapshot // to which undo leads back
	done   []snapshot
	undone []snapshot
	folder string // where the job stands on disk; empty for one in memory
	twin   string // another folder, for a fresh job
	line   bool   // a line was computed
	log    []string
}

// snapshot is what a job is made from.
type snapshot struct {
	texts map[string]string
	csv   string
	facts string
}

// randomTexts draws the sheets of a job.
func (w writer) randomTexts() map[string]string {
	texts := map[string]string{}
	for _, name := range sheetNames[:1+w.dice(4)] {
		texts[name] = w.sheet()
	}
	return texts
}

func names(texts map[string]string) []string { return slices.Sorted(maps.Keys(texts)) }

// fresh makes a second job from the same texts and files.
func (s *session) fresh(texts map[string]string, csv string) *sheets.Job {
	if s.folder == "" {
		var all []check.Text
		for _, n := range names(texts) {
			all = append(all, check.Text{Name: n, Text: texts[n]})
		}
		return sheets.Memory(s.c, all...)
	}
	old, err := filepath.Glob(filepath.Join(s.twin, "*"))
	require.NoError(s.t, err)
	for _, f := range old {
		require.NoError(s.t, os.RemoveAll(f))
	}
	writeAll(s.t, s.twin, texts, csv)
	j, err := sheets.Open(s.twin, s.c)
	require.NoError(s.t, err)
	return j
}

func writeAll(t require.TestingT, folder string, texts map[string]string, csv string) {
	for n, text := range texts {
		require.NoError(t, os.WriteFile(filepath.Join(folder, n+".sheet"), []byte(text), 0o644))
	}
	require.NoError(t, os.WriteFile(filepath.Join(folder, "log.csv"), []byte(csv), 0o644))
	require.NoError(t, os.MkdirAll(filepath.Join(folder, "sub"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "sub", "box.sheet"), []byte(boxText), 0o644))
}

// boxText is a part that is no sheet of the job itself.
const boxText = "1 crate = 12 kg\na = 2 m\nk = 3\nwide = a * k\nload = 2 crates\n"

func (s *session) note(format string, parts ...any) {
	s.log = append(s.log, fmt.Sprintf(format, parts...))
}

// agrees compares the job with a fresh one.
func (s *session) agrees() {
	what := strings.Join(s.log, "\n")
	require.NoError(s.t, s.j.Engine.Check(), what)
	texts := s.j.Texts()
	for n, text := range s.now.texts {
		require.Equal(s.t, text, texts[n], what)
		f := s.j.Checked.File(n)
		at := 0
		for _, it := range f.Items {
			require.Equal(s.t, it.Source.Whole(), it.Span, "an item holds its whole text: %s", what)
			at += len(it.Source.Text)
		}
		require.Equal(s.t, len(text), at, what)
	}
	require.Len(s.t, texts, len(s.now.texts), what)
	f := s.fresh(s.now.texts, s.now.csv)
	s.now.facts = facts(s.j)
	sameFacts(s.t, facts(f), s.now.facts, what)
	if over := s.j.Engine.Len() - f.Engine.Len(); !s.line || over != 1 { // a line stays till the next edit that is tried
		require.Zero(s.t, over, "cells are left over: %s", what)
	}
}

// step draws one edit.
func (s *session) step() { s.carry(s.splices(names(s.now.texts), s.now.texts)) }

// carry carries one edit out, with or without success.
func (s *session) carry(all []sheets.Splice) {
	if len(all) == 0 {
		return
	}
	after := spliced(s.now.texts, all)
	edit := s.j.Edit
	if s.often(15) {
		edit = s.j.EditHarmless
	}
	s.note("edit %#v", all)
	r, err := edit("step", all...)
	var refused *sheets.Refused
	var inUse *sheets.InUse
	switch {
	case errors.As(err, &refused):
		require.NotEmpty(s.t, refused.Messages)
		s.note("refused: %s", refused.Error())
	case errors.As(err, &inUse):
		require.NotEmpty(s.t, inUse.Users)
		s.note("refused: %s", inUse.Error())
	default:
		require.NoError(s.t, err)
		s.taken(r, snapshot{texts: after, csv: s.now.csv})
	}
	s.agrees()
}

// taken notes a step that was taken, and compares its report with what was and is shown.
func (s *session) taken(r *sheets.Report, to snapshot) {
	s.done, s.undone = append(s.done, s.now), nil
	s.now = to
	for _, x := range r.Shifts {
		require.NotEqual(s.t, x.Was, x.Is, "%s: %s", x.Path, strings.Join(s.log, "\n"))
	}
}

// turn takes a step back, or does it again.
func (s *session) turn(what string, carry func() (*sheets.Report, error), from, to *[]snapshot) {
	s.note("%s", what)
	_, err := carry()
	if len(*from) == 0 {
		require.ErrorIs(s.t, err, sheets.ErrNothing)
		return
	}
	require.NoError(s.t, err, strings.Join(s.log, "\n"))
	last := len(*from) - 1
	want := (*from)[last]
	*to, *from = append(*to, s.now), (*from)[:last]
	s.now = want
	s.agrees()
	sameFacts(s.t, want.facts, s.now.facts, "as it was: "+strings.Join(s.log, "\n"))
}

func (s *session) undo() { s.turn("undo", s.j.Undo, &s.done, &s.undone) }
func (s *session) redo() { s.turn("redo", s.j.Redo, &s.undone, &s.done) }

// typed computes a line over a sheet, which leaves the job as it is.
func (s *session) typed() {
	on := s.j.Checked.Sheets[s.dice(len(s.j.Checked.Sheets))]
	s.line = true
	s.j.Line(on, &diag.Source{Name: "line 1", Text: s.length(2)})
}

// start makes the job of a session.
func startInMemory(t require.TestingT, d dice, c *check.Checker) *session {
	s := &session{t: t, writer: writer{dice: d}, c: c}
	s.now.texts = s.randomTexts()
	s.note("start %q", s.now.texts)
	s.j = s.fresh(s.now.texts, "")
	s.agrees()
	return s
}

// run does random steps, and then takes all of them back.
func (s *session) run(steps int, step func()) {
	s.first = s.now
	whole := false
	defer func() {
		if !whole { // it failed or panicked
			s.t.Errorf("the steps were:\n%s", strings.Join(s.log, "\n"))
		}
	}()
	for range steps {
		switch s.dice(10) {
		case 0, 1:
			s.undo()
		case 2:
			s.redo()
		case 3:
			s.typed()
		default:
			step()
		}
	}
	for len(s.done) > 0 {
		s.undo()
	}
	sameFacts(s.t, s.first.facts, s.now.facts, "all taken back")
	whole = true
}

// rapidDice draws from a property test, which makes a failing run small.
func rapidDice(t *rapid.T) dice {
	return func(n int) int { return rapid.IntRange(0, n-1).Draw(t, "") }
}

// seeded draws the same numbers for the same seed.
func seeded(seed int) dice { return rand.New(rand.NewPCG(uint64(seed), 1)).IntN }

// Random edits of random jobs: after each step the job is what a fresh one of the same texts is.
func TestRandomEditsAgreeWithAFreshJob(t *testing.T) {
	c := newChecker(t)
	rapid.Check(t, func(t *rapid.T) {
		s := startInMemory(t, rapidDice(t), c)
		s.run(25, s.step)
	})
}

// The same edits give the same values, to the last bit, on one core and on two.
func TestRandomEditsOnOneCoreAndTwo(t *testing.T) {
	seeds := 20
	if testing.Short() {
		seeds = 3
	}
	c := newChecker(t)
	for seed := range seeds {
		var all [2]string
		for i := range all {
			before := runtime.GOMAXPROCS(i + 1)
			s := startInMemory(t, seeded(seed), c)
			for range 12 {
				s.step()
				all[i] += s.now.facts
			}
			runtime.GOMAXPROCS(before)
		}
		sameFacts(t, all[0], all[1], "one core and two")
	}
}
