package syntax_test

import "testing"

// FuzzReadFile reads any bytes as a sheet and as a line.
func FuzzReadFile(f *testing.F) {
	f.Add(sheet)
	for _, p := range pieces {
		f.Add(p)
	}
	f.Add("x = (1 +\n  2 # two\n) [mm]\n")
	f.Add("\ufefftitle \"a\"\r\nx = 5' 3 1/2\"\r\n")
	f.Fuzz(func(t *testing.T, text string) { holds(t, text) })
}
