package journal

import (
	"errors"
	"maps"
	"strings"
)

// ErrChanged says, for errors.Is, that the texts are not those from which the journal's edits began.
var ErrChanged = errors.New("a sheet was changed after the journal was begun")

// Replay applies the journal's edits to the texts of the sheets as they are on disk, and gives all the texts back. A
// sheet that did not exist when the journal began may be absent. A sheet that holds all its edits already, as after a
// save of several sheets that was cut off between two of them, is taken as it is. Where a sheet with edits is neither
// that nor as it was, or an edit does not fit, nothing is applied.
func (c *Content) Replay(texts map[string]string) (map[string]string, error) {
	bases, edits := c.bySheet()
	out := maps.Clone(texts)
	if out == nil {
		out = map[string]string{}
	}
	for _, e := range c.Entries {
		sheet := e.Sheet
		entries := edits[sheet]
		if entries == nil {
			continue // replayed already
		}
		delete(edits, sheet)
		text, exists := texts[sheet]
		if !bases[sheet].is(text, exists) {
			if undone(entries, bases[sheet], text) {
				continue
			}
			return nil, changed(sheet, exists)
		}
		text, err := replay(entries, text)
		if err != nil {
			return nil, err
		}
		out[sheet] = text
	}
	return out, nil
}

// Saved tells whether the texts on disk hold all the edits already, so that nothing is to be taken up: a save went well
// and was cut off before the journal was removed. It is true for a journal without edits.
func (c *Content) Saved(texts map[string]string) bool {
	bases, edits := c.bySheet()
	for sheet, entries := range edits {
		text, exists := texts[sheet]
		if !exists || !undone(entries, bases[sheet], text) {
			return false
		}
	}
	return true
}

// bySheet sorts the content. A sheet without a base was made after the journal was begun: the zero Base is that of a
// sheet that did not exist.
func (c *Content) bySheet() (map[string]Base, map[string][]Entry) {
	bases, edits := map[string]Base{}, map[string][]Entry{}
	for _, b := range c.Bases {
		bases[b.Sheet] = b
	}
	for _, e := range c.Entries {
		edits[e.Sheet] = append(edits[e.Sheet], e)
	}
	return bases, edits
}

// is tells whether a text is that of the base.
func (b Base) is(text string, exists bool) bool {
	if b.Digest == "" {
		return text == ""
	}
	return exists && Digest(text) == b.Digest
}

// replay applies the entries of one sheet.
func replay(entries []Entry, text string) (string, error) {
	for _, e := range entries {
		next, ok := swap(text, e.At, e.Was, e.Is)
		if !ok {
			return "", tell(ErrDamaged, "edit %d of the journal does not fit %s: what it replaces does not stand there; nothing was taken up", e.Step, e.Sheet)
		}
		text = next
	}
	return text, nil
}

// undone tells whether a text is the base with all the entries applied. Each entry can be turned round, so that the
// last text leads back to the first, which is known by its digest.
func undone(entries []Entry, base Base, text string) bool {
	for i := len(entries) - 1; i >= 0; i-- {
		e := entries[i]
		back, ok := swap(text, e.At, e.Is, e.Was)
		if !ok {
			return false
		}
		text = back
	}
	return base.is(text, true)
}

// swap puts a piece in the place of another one at a byte of a text; it is false where the other does not stand there.
func swap(text string, at int, was, is string) (string, bool) {
	if at < 0 || at > len(text) || !strings.HasPrefix(text[at:], was) {
		return "", false
	}
	return text[:at] + is + text[at+len(was):], true
}

func changed(sheet string, exists bool) error {
	what := "was changed"
	if !exists {
		what = "was taken away"
	}
	return tell(ErrChanged, "%s %s after the edits in the journal were begun, so they do not fit any more; nothing was taken up, "+
		"and the journal was left as it is; put the sheet back as it was, or remove the journal", sheet, what)
}
