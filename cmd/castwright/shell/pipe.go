package shell

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"
)

// pipe reads lines where nobody sits at a terminal.
type pipe struct {
	in    *bufio.Scanner
	first bool
}

// maxLine is the longest line that is read, in bytes.
const maxLine = 1 << 20

func newPipe(in io.Reader) *pipe {
	s := bufio.NewScanner(in)
	s.Buffer(nil, maxLine)
	return &pipe{in: s, first: true}
}

// Line reads the next line; the prompt is not written.
func (p *pipe) Line(string) (string, error) {
	if !p.in.Scan() {
		if err := p.in.Err(); errors.Is(err, bufio.ErrTooLong) {
			return "", fmt.Errorf("a line holds at most %d bytes", maxLine)
		} else if err != nil {
			return "", err
		}
		return "", io.EOF
	}
	text := strings.TrimRight(p.in.Text(), "\r")
	if p.first {
		text = strings.TrimPrefix(text, "\ufeff")
	}
	p.first = false
	return text, nil
}

// Ask has nobody to ask.
func (p *pipe) Ask(string) (string, error) { return "", errNobody }
