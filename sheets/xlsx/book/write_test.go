package book

import (
	"bytes"
	"github.com/stretchr/testify/require"
	"os"
	"testing"
)

func TestOne(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Write(&b, sample()))
	os.WriteFile("/tmp/x1sample.xlsx", b.Bytes(), 0o644)
}
