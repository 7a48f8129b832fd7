package book

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"
)

func TestRef(t *testing.T) {
	for want, at := range map[string][2]int{"A1": {1, 1}, "Z9": {26, 9}, "AA10": {27, 10}, "ZZ1": {702, 1}, "AAA1": {703, 1}, "XFD1048576": {MaxColumns, MaxRows}, "": {MaxColumns + 1, 1}} {
		assert.Equal(t, want, Ref(at[0], at[1]))
		if want != "" {
			col, row, ok := place(want)
			assert.Equal(t, at, [2]int{col, row}, want)
			assert.True(t, ok, want)
		}
	}
	assert.Empty(t, Ref(0, 1))
	assert.Empty(t, Ref(1, 0))
	assert.Empty(t, Ref(1, MaxRows+1))
	for _, bad := range []string{"", "A", "1", "a1", "A0", "A01", "XFE1", "A1048577", "$A$1", "A1:"} {
		_, _, ok := place(bad)
		assert.False(t, ok, bad)
	}
}

// The library is an oracle for the letters of columns.
func TestLetters(t *testing.T) {
	for col := 1; col <= MaxColumns; col++ {
		want, err := excelize.ColumnNumberToName(col)
		require.NoError(t, err)
		require.Equal(t, want, letters(col))
	}
}

func TestSafeName(t *testing.T) {
	cases := map[string]string{
		"seat_depth": "seat_depth", "Grösse": "Grösse", "長さ": "長さ", "длина": "длина", "mix.cement": "mix.cement",
		"h": "h", "A1": "A1_", "a1": "a1_", "XFD9": "XFD9_", "ZZZ99999": "ZZZ99999_", "day1": "day1_", "volume1": "volume1",
		"R1C1": "R1C1_", "rc": "rc_", "R": "R_", "c": "c_", "r5": "r5_", "R2C": "R2C_", "C12": "C12_", "rich": "rich",
		"true": "true_", "FALSE": "FALSE_", "sum": "sum_", "Mass": "Mass", "log10": "log10_", "atan2": "atan2_", "average": "average_",
		"": "_", "2nd": "_2nd", "a b": "a_b", "-": "_", "x'y!": "x_y_", "𝔞b": "_b",
	}
	for name, want := range cases {
		assert.Equal(t, want, SafeName(name), name)
	}
	assert.Len(t, SafeName(strings.Repeat("a", 400)), maxName-1)
}

// Whatever the text, its safe name is one that both this package and the library take; a safe name is its own.
func TestSafeNameAny(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := SafeName(rapid.OneOf(rapid.String(), rapid.StringMatching(`[A-Za-z]{0,4}[0-9]{0,8}`)).Draw(t, "name"))
		if p := nameProblem(name); p != "" {
			t.Fatalf("%q %s", name, p)
		}
		if SafeName(name) != name && len(name) < maxName {
			t.Fatalf("%q is not its own safe name", name)
		}
		f := excelize.NewFile()
		defer f.Close()
		if err := f.SetDefinedName(&excelize.DefinedName{Name: name, RefersTo: "Sheet1!$A$1"}); err != nil {
			t.Fatalf("%q: %v", name, err)
		}
	})
}

func TestSafeSheetName(t *testing.T) {
	taken := map[string]bool{}
	assert.Equal(t, "Bench", SafeSheetName("Bench", taken))
	assert.Equal(t, "bench 2", SafeSheetName("bench", taken))
	assert.Equal(t, "BENCH 3", SafeSheetName("BENCH", taken))
	assert.Equal(t, "a-b-c", SafeSheetName("a/b:c", taken))
	assert.Equal(t, "Sheet", SafeSheetName("'", taken))
	assert.Equal(t, "History -", SafeSheetName("History", nil))
	long := strings.Repeat("x", 40)
	assert.Equal(t, long[:31], SafeSheetName(long, taken))
	assert.Equal(t, long[:29]+" 2", SafeSheetName(long, taken))
}

func TestSafeSheetNameAny(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		taken := map[string]bool{}
		for _, given := range rapid.SliceOfN(rapid.String(), 1, 5).Draw(t, "names") {
			name := SafeSheetName(given, taken)
			if p := sheetNameProblem(name); p != "" {
				t.Fatalf("%q %s", name, p)
			}
			f := excelize.NewFile()
			if _, err := f.NewSheet(name); err != nil {
				t.Fatalf("%q: %v", name, err)
			}
			f.Close()
		}
	})
}

func TestOutside(t *testing.T) {
	for refers, want := range map[string]string{"'Bench'!$B$5": "Bench", "Bench!B5:C9": "Bench", "'It''s'!$B$5": "It's", "'a!b'!A1": "a!b"} {
		sheet, ok := outside(refers)
		assert.True(t, ok, refers)
		assert.Equal(t, want, sheet)
	}
	for _, bad := range []string{"", "B5", "'Bench'!", "'Bench'!B", "'Bench'!B5:A1"} {
		_, ok := outside(bad)
		assert.False(t, ok, bad)
	}
	assert.Equal(t, "'It''s'", Quote("It's"))
}
