package xlsx_test

import (
	"bytes"
	"fmt"
	"runtime"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/sheets/xlsx"
)

// An export can be stopped; the next one begins anew.
func TestStopExport(t *testing.T) {
	c := newChecker(t)
	var text strings.Builder
	for i := range 20 {
		fmt.Fprintf(&text, "table t%d\n  | x [mm]\n  | %d\nend\n", i, i)
	}
	j := job(c, text.String())
	over := make(chan struct{})
	var presses sync.WaitGroup
	presses.Go(func() {
		for {
			select {
			case <-over:
				return
			default:
				j.Stop()
				runtime.Gosched()
			}
		}
	})
	var b bytes.Buffer
	var err error
	for range 100 { // a short export may be over before the next press comes
		if _, err = xlsx.Export(&b, j); err != nil {
			break
		}
		b.Reset()
	}
	close(over)
	presses.Wait()
	require.ErrorIs(t, err, xlsx.ErrStopped)
	b.Reset()
	_, err = xlsx.Export(&b, j)
	require.NoError(t, err)
	assert.NotZero(t, b.Len())
}
