package report

import (
	"fmt"
	"io"
	"sync"
	"time"

	"castwright/lang/work"
)

// patience is how long work goes on before it is told how far it is; from then on that is told after ever longer whiles.
const patience = time.Second

// Wait has a person at a terminal told how far long work is, until the function that it gives is called.
func (p *Report) Wait(m *work.Meter) (done func()) {
	if p.Columns == nil || p.Columns() == 0 {
		return func() {}
	}
	over := make(chan struct{})
	var telling sync.WaitGroup
	telling.Go(func() {
		look := time.NewTicker(patience / 10)
		defer look.Stop()
		var w waiting
		for {
			select {
			case <-over:
				return
			case now := <-look.C:
				w.tell(p.Err, m, now)
			}
		}
	})
	return func() {
		close(over)
		telling.Wait()
	}
}

// waiting is since when work goes on, and when it is told of next.
type waiting struct{ next, last time.Time }

// tell writes how far work is, where it is time to.
func (w *waiting) tell(out io.Writer, m *work.Meter, now time.Time) {
	text := HowFar(m.At())
	switch {
	case text == "":
		*w = waiting{}
	case w.next.IsZero():
		w.last, w.next = now, now.Add(patience)
	case !now.Before(w.next):
		fmt.Fprintln(out, text)
		w.last, w.next = now, now.Add(2*now.Sub(w.last))
	}
}

// HowFar says in words how far work is; nothing where none goes on.
func HowFar(s work.Stage, done, total int) string {
	of := fmt.Sprintf("%d of %s", done, many(total, "cell"))
	switch s {
	case work.Reading:
		return fmt.Sprintf("Reading: %d%%.", 100*int64(done)/int64(max(total, 1)))
	case work.Checking:
		return "Checking: " + of + "."
	case work.Computing:
		return "Working out: " + of + "."
	case work.Writing:
		return fmt.Sprintf("Writing the workbook: %d of %s.", done, many(total, "worksheet"))
	}
	return ""
}
