package work

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestMeter(t *testing.T) {
	var m Meter
	at := func() [3]int {
		s, done, total := m.At()
		return [3]int{int(s), done, total}
	}
	assert.Equal(t, [3]int{int(Idle), 0, 0}, at())
	m.Begin(Checking, 3)
	assert.True(t, m.Add(2))
	assert.Equal(t, [3]int{int(Checking), 2, 3}, at())
	m.Add(5) // some are looked at twice
	assert.Equal(t, [3]int{int(Checking), 3, 3}, at())
	m.Stop()
	assert.False(t, m.Add(1))
	m.Begin(Computing, 7)
	assert.True(t, m.Stopped(), "a new stage does not forget that it shall stop")
	m.Resume()
	assert.True(t, m.Add(1))
	assert.Equal(t, [3]int{int(Computing), 1, 7}, at())
	m.End()
	assert.Equal(t, [3]int{int(Idle), 0, 0}, at())
}

// Work that nobody waits for has no meter.
func TestNoMeter(t *testing.T) {
	var m *Meter
	m.Begin(Reading, 1)
	m.Stop()
	m.Resume()
	m.End()
	assert.True(t, m.Add(1))
	assert.False(t, m.Stopped())
	s, _, _ := m.At()
	assert.Equal(t, Idle, s)
}
