// Package work tells how far long work is, and lets it be stopped, from another goroutine than that which does it.
package work

import "sync/atomic"

// Stage is what is being done.
type Stage int32

// The stages of the work on a job, in the order in which they come.
const (
	Idle      Stage = iota
	Reading         // texts, counted in bytes
	Checking        // cells
	Computing       // cells
	Writing         // a workbook, counted in worksheets
)

// Meter is read and stopped by who waits for the work. The zero value is ready; a nil one is for work that nobody waits for.
type Meter struct {
	stage       atomic.Int32
	done, total atomic.Int64
	stopped     atomic.Bool
}

// Begin begins a stage of so many pieces.
func (m *Meter) Begin(s Stage, total int) {
	if m != nil {
		m.total.Store(int64(total))
		m.done.Store(0)
		m.stage.Store(int32(s))
	}
}

// Add counts pieces as done; false where the work shall stop.
func (m *Meter) Add(n int) bool {
	if m == nil {
		return true
	}
	m.done.Add(int64(n))
	return !m.stopped.Load()
}

// End says that nothing goes on any more.
func (m *Meter) End() { m.Begin(Idle, 0) }

// At gives what goes on, and how much of it is done. The total is not known where it is 0.
func (m *Meter) At() (s Stage, done, total int) {
	if m == nil {
		return Idle, 0, 0
	}
	s, done, total = Stage(m.stage.Load()), int(m.done.Load()), int(m.total.Load())
	return s, min(done, max(total, 0)), total
}

// Stop ends the work that goes on, soon.
func (m *Meter) Stop() {
	if m != nil {
		m.stopped.Store(true)
	}
}

// Stopped tells whether the work shall stop.
func (m *Meter) Stopped() bool { return m != nil && m.stopped.Load() }

// Resume forgets a stop, before other work begins.
func (m *Meter) Resume() {
	if m != nil {
		m.stopped.Store(false)
	}
}
