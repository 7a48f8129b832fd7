package report

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"castwright/lang/work"
)

// How far long work is stands on a line after a second, two more, four more; work that ends before is not told of.
func TestWaiting(t *testing.T) {
	var m work.Meter
	var w waiting
	var out strings.Builder
	start := time.Date(2027, 3, 1, 6, 0, 0, 0, time.UTC)
	look := func(tenth int) { w.tell(&out, &m, start.Add(time.Duration(tenth)*time.Second/10)) }
	look(0)
	m.Begin(work.Reading, 400)
	for tenth := 1; tenth <= 200; tenth++ {
		switch tenth {
		case 12:
			m.Begin(work.Checking, 1)
		case 50:
			m.Begin(work.Computing, 2000)
		case 100:
			m.End()
		case 103:
			m.Begin(work.Writing, 10)
		case 105:
			m.End()
		}
		m.Add(10)
		look(tenth)
	}
	assert.Equal(t, "Reading: 27%.\nChecking: 1 of 1 cell.\nWorking out: 220 of 2000 cells.\n", out.String())
}

func TestHowFar(t *testing.T) {
	for want, k := range map[string]struct {
		s           work.Stage
		done, total int
	}{
		"":                        {work.Idle, 3, 4},
		"Reading: 0%.":            {work.Reading, 0, 0},
		"Reading: 50%.":           {work.Reading, 1 << 30, 1 << 31},
		"Checking: 3 of 4 cells.": {work.Checking, 3, 4},
		"Writing the workbook: 1 of 1 worksheet.": {work.Writing, 1, 1},
	} {
		assert.Equal(t, want, HowFar(k.s, k.done, k.total))
	}
}
