package units

import (
	"bufio"
	"fmt"
	"math/big"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"castwright/lang/kind"
)

// pi20 is pi to 20 decimals, from memory.
const pi20 = "3.14159265358979323846"

var token = regexp.MustCompile(`[*/()]|[^*/()^]+(?:\^-?\d+)?`)

// compound works out a product of units, "kg/(m^2*h)" or "33/2*survey_ft", by way of the catalogue: its exact value in
// SI (with pi to 20 decimals) and its dimension. It is the tests' own, so that definitions are not checked by the code
// that reads them.
func compound(t *testing.T, text string) (*big.Rat, kind.Dim) {
	t.Helper()
	value, dim := big.NewRat(1, 1), kind.One
	divide, inside := false, false
	for _, tok := range token.FindAllString(text, -1) {
		switch tok {
		case "*":
			divide = divide && inside
		case "/":
			require.False(t, inside, text)
			divide = true
		case "(":
			inside = true
		case ")":
			inside, divide = false, false
		default:
			r, d := factor(t, tok)
			if divide {
				value.Quo(value, r)
				dim = kind.Must(dim.Div(d))
			} else {
				value.Mul(value, r)
				dim = kind.Must(dim.Mul(d))
			}
		}
	}
	return value, dim
}

func factor(t *testing.T, tok string) (*big.Rat, kind.Dim) {
	t.Helper()
	if n, err := strconv.Atoi(tok); err == nil {
		return big.NewRat(int64(n), 1), kind.One
	}
	name, exponent, found := strings.Cut(tok, "^")
	n := 1
	if found {
		var err error
		n, err = strconv.Atoi(exponent)
		require.NoError(t, err, tok)
	}
	u, ok := New().Unit(name)
	require.True(t, ok, "%s is not in the catalogue", name)
	one := new(big.Rat).Set(u.Ratio)
	if u.Pi {
		one.Mul(one, rat(t, pi20))
	}
	r := big.NewRat(1, 1)
	for range max(n, -n) {
		r.Mul(r, one)
	}
	if n < 0 {
		r.Inv(r)
	}
	return r, kind.Must(u.Dim.Pow(kind.Int(n)))
}

func rat(t *testing.T, s string) *big.Rat {
	t.Helper()
	r, ok := new(big.Rat).SetString(s)
	require.True(t, ok, s)
	return r
}

// figures writes a value rounded to so many significant figures.
func figures(r *big.Rat, n int) string {
	f := new(big.Float).SetPrec(200).SetRat(r)
	return f.Text('e', n-1)
}

// near tells whether two values agree within one part in so many.
func near(got, want *big.Rat, parts int64) bool {
	off := new(big.Rat).Sub(got, want)
	off.Abs(off.Quo(off, want))
	return off.Cmp(big.NewRat(1, parts)) <= 0
}

// table reads a file of testdata: fields between tabs, lines that begin with # left out.
func table(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open("../../testdata/" + name)
	require.NoError(t, err)
	defer func() { require.NoError(t, f.Close()) }()
	var rows [][]string
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		if !strings.HasPrefix(lines.Text(), "#") {
			rows = append(rows, strings.Split(lines.Text(), "\t"))
		}
	}
	require.NoError(t, lines.Err())
	require.NotEmpty(t, rows, fmt.Sprintf("%s is empty", name))
	return rows
}
