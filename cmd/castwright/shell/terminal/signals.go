package terminal

import (
	"os"
	"os/signal"
)

// watchSignals sees to it that a signal never leaves the terminal in our state, and that a new size is drawn for.
func (t *Terminal) watchSignals() {
	countTerminals(+1)
	signal.Notify(t.signals, watchedSignals...)
	go func() {
		for s := range t.signals {
			t.onSignal(s)
		}
	}()
}

func (t *Terminal) unwatchSignals() {
	countTerminals(-1)
	signal.Stop(t.signals)
	close(t.signals)
}

func (t *Terminal) onSignal(s os.Signal) {
	switch {
	case s == os.Interrupt:
		t.input.push(event{do: pressKey, text: keyInterrupt})
	case isResize(s):
		t.screen.redraw()
	case isContinue(s):
		t.retake()
	default:
		t.endBy(s)
	}
}

// endBy gives the terminal back, and lets the signal end the program as if we had not looked.
func (t *Terminal) endBy(s os.Signal) {
	_ = t.restore() // the program ends either way
	signal.Reset(s)
	raise(s)
}
