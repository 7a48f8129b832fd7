package taken

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParse(t *testing.T) {
	for text, want := range map[string]string{
		"-2^2":                   "((-2)^2)",
		"2^-1":                   "(2^(-1))",
		"2^3^2":                  "((2^3)^2)",
		"-5%":                    "(%(-5))",
		"1+2*3":                  "(1+(2*3))",
		"1&2+3=4":                "((1&(2+3))=4)",
		"$B$2+B2":                "(!R2C2+!R[0]C[0])",
		"SUM(A1:B2,,3)":          "SUM(!R[-1]C[-1]:!R[0]C[0],,3,)",
		"SUM(2:3)":               "SUM(!R[0]C1:!R[1]C16384,)",
		"SUM($A:B)":              "SUM(!R1C1:!R1048576C[0],)",
		"'it''s'!A1":             "it'sR",
		"Data!A1":                "DataR",
		`"a""b"`:                 `"a\"b"`,
		"{1,2;-3,\"x\"}":         `1,2,;-3,"x",;`,
		"_xlfn.IFS(TRUE,1)":      "IFS(true,1,)",
		"T1[[#This Row],[Size]]": "part t1[size:]truefalse",
		"T1[@Size]":              "part t1[size:]truefalse",
		"T1[Size]":               "part t1[size:]falsefalse",
		"rate*2":                 "(name !rate*2)",
		"1.5E+3":                 "1500",
		"#N/A":                   "#N/A",
		"+A1":                    "!R[-1]C[-1]",
	} {
		n, err := parse(text)
		require.NoError(t, err, text)
		got := relative(n, 2, 2)
		if strings.HasSuffix(want, "R") { // the sheet's name alone
			got = strings.Replace(got, "!R[-1]C[-1]", "R", 1)
		}
		assert.Equal(t, want, got, text)
	}
}

func TestParseRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"":                                "it ends where a value should stand",
		"1+":                              "it ends where a value should stand",
		"(1":                              "a bracket is not closed",
		"SUM(1":                           "the bracket of SUM is not closed",
		"1 2":                             `"2" stands where the formula should end`,
		"[1]Sheet1!A1":                    "it looks into another workbook",
		"'[1]Sheet 1'!A1":                 "it looks into another workbook",
		"Jan:Mar!A1":                      "it reaches through several worksheets",
		"A1:A3 A2:B2":                     "it takes what two ranges have in common",
		"(A1,B2)":                         "it joins several ranges into one",
		`"a`:                              "a quotation mark is not closed",
		strings.Repeat("(", 300) + "1":    "it nests deeper than 250 levels",
		strings.Repeat("-", 300) + "1":    "it nests deeper than 250 levels",
		strings.Repeat("1", maxFormula+1): "it is longer than 40000 signs",
	} {
		_, err := parse(text)
		if assert.Error(t, err, text) {
			assert.Equal(t, want, err.Error())
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"-2^2", "SUM(A1:B2,,3)", "{1,2;3}", "T1[[#This Row],[A]:[B]]", "'a b'!$A$1&\"x\"", "1:2", "#N/A", "A1:B", "[@x]", "@A1", "Sheet!1:2", "A:B!C"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		n, err := parse(s)
		if err == nil {
			relative(n, 3, 3)
			visit(n, func(node) {})
		}
	})
}
