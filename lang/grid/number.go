package grid

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Number reads a field that holds one number and nothing else: a sign, digits, the decimal sign and digits, an exponent
// (-0.5, .5, 2.5e-3, 007), with blanks around it. decimal is '.' or ','; 0 is '.'. The result is the float64 nearest to
// what is written. Marks between thousands, a decimal sign without digits behind it, units and % are refused: a file of
// another origin would mean something else by them.
func Number(text string, decimal byte) (float64, error) {
	if decimal == 0 {
		decimal = '.'
	}
	if err := (Options{Decimal: decimal}).Check(); err != nil {
		return 0, err
	}
	t := strings.TrimSpace(text)
	end := numberEnd(t, decimal)
	if end == 0 || end < len(t) {
		return 0, noNumber(t, decimal, end)
	}
	v := value(t, decimal)
	switch {
	case math.IsInf(v, 0):
		return 0, &Mistake{Text: fmt.Sprintf("\"%s\" is too large.", shown(t)), WayOut: "The largest number is about 1.8e308."}
	case v == 0 && !zero(t):
		return 0, &Mistake{Text: fmt.Sprintf("\"%s\" is too close to 0.", shown(t)), WayOut: "Write 0, or a number of at least 1e-307."}
	}
	return v, nil
}

// minus is the sign of typography, U+2212. The language reads it as the hyphen's equal.
const minus = "−"

// numberEnd gives where the number at the beginning of a text ends; 0 where none begins.
func numberEnd(t string, decimal byte) int {
	i := signEnd(t, 0)
	whole := digitsEnd(t, i)
	end := whole
	if whole < len(t) && t[whole] == decimal {
		if e := digitsEnd(t, whole+1); e > whole+1 {
			end = e
		}
	}
	if end == i {
		return 0
	}
	if end < len(t) && (t[end] == 'e' || t[end] == 'E') {
		first := signEnd(t, end+1)
		if e := digitsEnd(t, first); e > first {
			end = e
		}
	}
	return end
}

func signEnd(t string, i int) int {
	switch {
	case i < len(t) && (t[i] == '+' || t[i] == '-'):
		return i + 1
	case strings.HasPrefix(t[i:], minus):
		return i + len(minus)
	}
	return i
}

func digitsEnd(t string, i int) int {
	for i < len(t) && digit(t[i]) {
		i++
	}
	return i
}

func digit(c byte) bool { return c >= '0' && c <= '9' }

// isNumber tells whether a text is one number from end to end.
func isNumber(t string, decimal byte) bool { return t != "" && numberEnd(t, decimal) == len(t) }

// value reads what numberEnd has passed. The only failure left is one of size, for which it gives an infinity.
func value(t string, decimal byte) float64 {
	if decimal == '.' && !strings.Contains(t, minus) {
		v, _ := strconv.ParseFloat(t, 64)
		return v
	}
	var room [32]byte
	b := room[:0]
	for i := 0; i < len(t); i++ {
		switch {
		case t[i] == decimal:
			b = append(b, '.')
		case t[i] >= utf8.RuneSelf:
			b = append(b, '-')
			i += len(minus) - 1
		default:
			b = append(b, t[i])
		}
	}
	v, _ := strconv.ParseFloat(string(b), 64)
	return v
}

// zero tells whether a number is written with zeros only.
func zero(t string) bool {
	if i := strings.IndexAny(t, "eE"); i >= 0 {
		t = t[:i]
	}
	return !strings.ContainsAny(t, "123456789")
}

// noNumber says why a text is not one number, and what to write; end is where the number in front ends.
func noNumber(t string, decimal byte, end int) *Mistake {
	if t == "" {
		return &Mistake{Text: "This field is empty.", WayOut: "Write a number."}
	}
	for _, m := range []*Mistake{otherSign(t, decimal), parted(t, decimal), withUnit(t, end)} {
		if m != nil {
			return m
		}
	}
	if end > 0 && t[end:] == string(rune(decimal)) {
		return &Mistake{Text: fmt.Sprintf("\"%s\" ends with its decimal sign.", shown(t)), WayOut: fmt.Sprintf("Write %s, or %s0.", shown(t[:end]), shown(t))}
	}
	wayOut := "A number is written 12, -0.5 or 2.5e-3; where there is none, the field stays empty."
	if decimal == ',' {
		wayOut = strings.NewReplacer("0.5", "0,5", "2.5", "2,5").Replace(wayOut)
	}
	return &Mistake{Text: fmt.Sprintf("\"%s\" is not a number.", shown(t)), WayOut: wayOut}
}

// otherSign refuses a number that holds the decimal sign of other files: 1,000 and 1.000,5.
func otherSign(t string, decimal byte) *Mistake {
	other, name, is := ",", "comma", "point"
	say := "say decimal: \",\" where the comma is the decimal sign"
	if decimal == ',' {
		other, name, is = ".", "point", "comma"
		say = "leave decimal: \",\" out where the point is the decimal sign"
	}
	if !strings.Contains(t, other) {
		return nil
	}
	plain := strings.ReplaceAll(t, other, "")
	swapped := isNumber(t, other[0])
	grouped := thousands(t, other, decimal) && isNumber(plain, decimal)
	turned := strings.ReplaceAll(strings.ReplaceAll(t, string(rune(decimal)), ""), other, string(rune(decimal)))
	wayOut := ""
	switch {
	case swapped && grouped: // 1,000
		wayOut = fmt.Sprintf("Write %s where it parts thousands; or %s.", plain, say)
	case swapped: // 2,5
		wayOut = fmt.Sprintf("Write %s; or %s.", turned, say)
	case grouped: // 1,250,000.5
		wayOut = fmt.Sprintf("Write %s.", plain)
	case thousands(t, string(rune(decimal)), other[0]) && isNumber(turned, decimal): // 1.000,5
		wayOut = fmt.Sprintf("Write %s.", turned)
		if decimal == '.' {
			wayOut = fmt.Sprintf("Write %s; or, with decimal: \",\", %s.", turned, strings.ReplaceAll(t, ".", ""))
		}
	default:
		return nil
	}
	return &Mistake{Text: fmt.Sprintf("\"%s\" holds a %s, and the decimal sign is a %s here.", shown(t), name, is), WayOut: shortened(wayOut, t)}
}

// parted refuses 1 000, 1'000, 1_000 and 1.000.000.
func parted(t string, decimal byte) *Mistake {
	for _, mark := range []string{" ", "\u00a0", "\u2009", "\u202f", "_", "'", "’", string(rune(decimal))} {
		if plain := strings.ReplaceAll(t, mark, ""); thousands(t, mark, decimal) && isNumber(plain, decimal) {
			return &Mistake{Text: fmt.Sprintf("\"%s\" has marks between its thousands.", shown(t)), WayOut: shortened(fmt.Sprintf("Write %s.", plain), t)}
		}
	}
	return nil
}

// thousands tells whether a mark stands in a number between groups of three digits, before the decimal sign, as in
// 1,250,000.5. Where the mark is the decimal sign itself it must stand twice.
func thousands(t, mark string, decimal byte) bool {
	whole := t[signEnd(t, 0):]
	if mark != string(rune(decimal)) {
		whole, _, _ = strings.Cut(whole, string(rune(decimal)))
	} else if strings.Count(t, mark) < 2 {
		return false
	}
	groups := strings.Split(whole, mark)
	for i, g := range groups {
		if digitsEnd(g, 0) != len(g) || i == 0 && (len(g) == 0 || len(g) > 3) || i > 0 && len(g) != 3 {
			return false
		}
	}
	return len(groups) > 1
}

// withUnit refuses 12 kg and 10%; end is where the number ends. What goes on tight with an x or an e is no unit but a
// number of another notation.
func withUnit(t string, end int) *Mistake {
	rest := strings.TrimSpace(t[end:])
	first, _ := utf8.DecodeRuneInString(rest)
	unit := unicode.IsLetter(first) || strings.ContainsRune("%‰°\"'′″$€£", first)
	if end == 0 || !unit || strings.IndexByte("xXeE", t[end]) >= 0 || strings.Contains(rest, " ") {
		return nil
	}
	return &Mistake{Text: fmt.Sprintf("\"%s\" holds more than a number.", shown(t)),
		WayOut: fmt.Sprintf("Write %s; its unit stands in the heading, as [%s].", shown(t[:end]), shown(rest))}
}

// shortened leaves a way out away that would repeat a number too long to be read.
func shortened(wayOut, number string) string {
	if len(number) > longest {
		return "Write digits, and one decimal sign at most."
	}
	return wayOut
}
