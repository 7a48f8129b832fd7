package terminal

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

const (
	historyLines = 2000     // what is kept
	historyLine  = 64 << 10 // a longer line is not kept, in bytes
)

// history is what was typed, the oldest first, and the file that keeps it. Each line is added to the file at once, so
// that nothing is lost in a crash; several shells can add to one file.
type history struct {
	path   string // "" where no file is kept
	lines  []string
	inFile int
	err    error // why the file is not kept, or not up to date
}

func openHistory(path string) *history {
	h := &history{}
	if path == "" {
		return h
	}
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real // a rewritten file must not take the place of a link
	}
	h.path = path
	h.err = h.load()
	return h
}

// load reads the file, and mends it where it is too long, was cut off, or could be read by others.
func (h *history) load() error {
	if err := os.MkdirAll(filepath.Dir(h.path), 0o700); err != nil {
		return fmt.Errorf("The history has no folder: %w.", err)
	}
	text, err := os.ReadFile(h.path)
	if os.IsNotExist(err) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("The history cannot be read: %w.", err)
	}
	h.lines, h.inFile = splitHistory(text)
	cut := len(text) > 0 && text[len(text)-1] != '\n'
	if cut || h.inFile != len(h.lines) {
		return h.rewrite()
	}
	if err := os.Chmod(h.path, 0o600); err != nil {
		return fmt.Errorf("The history may be read by others: %w.", err)
	}
	return nil
}

// splitHistory gives the lines worth keeping, and how many the text holds.
func splitHistory(text []byte) (lines []string, held int) {
	for line := range bytes.Lines(text) {
		held++
		s := cleanText(strings.TrimRight(string(line), "\r\n"))
		if strings.TrimSpace(s) == "" || len(s) > historyLine || len(lines) > 0 && lines[len(lines)-1] == s {
			continue
		}
		lines = append(lines, s)
	}
	return lastLines(lines), held
}

func lastLines(lines []string) []string {
	return lines[max(0, len(lines)-historyLines):]
}

// add puts a line at the end, here and in the file. Blank lines, and a line like the one before it, are not kept.
func (h *history) add(line string) {
	last := len(h.lines) - 1
	if strings.TrimSpace(line) == "" || len(line) > historyLine || last >= 0 && h.lines[last] == line {
		return
	}
	h.lines = lastLines(append(h.lines, line))
	if h.path == "" {
		return
	}
	if err := h.append(line); err != nil {
		h.err = err
	}
}

// append writes a line in one piece, so that two shells do not mix theirs.
func (h *history) append(line string) error {
	file, err := os.OpenFile(h.path, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
	if err != nil {
		return fmt.Errorf("The history cannot be written: %w.", err)
	}
	_, err = file.WriteString(line + "\n")
	if closing := file.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return fmt.Errorf("The history cannot be written: %w.", err)
	}
	if h.inFile++; h.inFile > historyLines {
		return h.rewrite()
	}
	return nil
}

// rewrite puts the last lines of the file in its place. It is read again for that: another shell may have added to it.
func (h *history) rewrite() error {
	text, err := os.ReadFile(h.path)
	if err != nil {
		return fmt.Errorf("The history cannot be read: %w.", err)
	}
	lines, _ := splitHistory(text)
	file, err := os.CreateTemp(filepath.Dir(h.path), ".history-*") // made with mode 0600
	if err != nil {
		return fmt.Errorf("The history cannot be shortened: %w.", err)
	}
	var kept strings.Builder
	for _, line := range lines {
		kept.WriteString(line + "\n")
	}
	_, err = file.WriteString(kept.String())
	if err == nil {
		err = file.Sync()
	}
	if closing := file.Close(); err == nil {
		err = closing
	}
	if err == nil {
		err = os.Rename(file.Name(), h.path)
	}
	if err != nil {
		_ = os.Remove(file.Name()) // the old file stands
		return fmt.Errorf("The history cannot be shortened: %w.", err)
	}
	h.inFile = len(lines)
	return nil
}
