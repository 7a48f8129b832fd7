package syntax

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/alecthomas/participle/v2/lexer"
	"golang.org/x/text/unicode/norm"

	"castwright/lang/diag"
)

// The types of tokens. Names that are units have a type of their own: whether a word is a unit decides what a tight
// slash belongs to, and the expression parser has no other way to know.
const (
	tEOF      = lexer.EOF
	tNewline  = lexer.TokenType(-2)
	tComment  = lexer.TokenType(-3)
	tNumber   = lexer.TokenType(-4)
	tVulgar   = lexer.TokenType(-5) // ½ and its like
	tSuper    = lexer.TokenType(-6) // ² ³ ⁻¹
	tName     = lexer.TokenType(-7)
	tUnit     = lexer.TokenType(-8)
	tText     = lexer.TokenType(-9)  // a whole text without expressions
	tTextOpen = lexer.TokenType(-10) // "words{
	tTextMid  = lexer.TokenType(-11) // }words{
	tTextEnd  = lexer.TokenType(-12) // }words"
	tDate     = lexer.TokenType(-13)
	tFoot     = lexer.TokenType(-14)
	tInch     = lexer.TokenType(-15)
	tOp       = lexer.TokenType(-16)
	tBad      = lexer.TokenType(-17)
)

var symbols = map[string]lexer.TokenType{
	"EOF": tEOF, "Newline": tNewline, "Comment": tComment, "Number": tNumber, "Vulgar": tVulgar, "Super": tSuper,
	"Name": tName, "Unit": tUnit, "Text": tText, "TextOpen": tTextOpen, "TextMid": tTextMid, "TextEnd": tTextEnd,
	"Date": tDate, "Foot": tFoot, "Inch": tInch, "Op": tOp, "Bad": tBad,
}

// tok is a token of the scanner: its type, where it stands, and for a bad one what is wrong.
type tok struct {
	typ      lexer.TokenType
	from, to int
	bad      *diag.Message
}

// reserved words can name nothing.
var reserved = map[string]bool{
	"if": true, "then": true, "else": true, "and": true, "or": true, "not": true, "where": true, "yes": true, "no": true,
}

// soft words are never units; cells may bear them.
var soft = map[string]bool{
	"from": true, "to": true, "by": true, "until": true, "assume": true, "given": true, "accept": true, "with": true,
	"live": true, "holds": true, "deep": true,
}

var statementWords = map[string]bool{
	"title": true, "section": true, "system": true, "ask": true, "count": true, "rule": true, "table": true,
	"check": true, "part": true, "variant": true, "correlation": true, "handout": true, "end": true,
}

// bodyWords are the words that begin a line inside a rule.
var bodyWords = func() map[string]bool {
	out := map[string]bool{"needs": true, "holds": true, "give": true}
	for w := range factWords {
		out[w] = true
	}
	for w := range statementWords {
		out[w] = true
	}
	return out
}()

var factWords = map[string]bool{"about": true, "source": true, "caution": true, "family": true, "example": true}

// IsReserved tells whether a word can name nothing.
func IsReserved(word string) bool { return reserved[word] }

// IsSoft tells whether a word is read as a word of the language in some places, and is never a unit.
func IsSoft(word string) bool { return soft[word] }

// IsStatementWord tells whether a word begins a statement.
func IsStatementWord(word string) bool { return statementWords[word] }

// StatementWords lists the words that begin a statement.
func StatementWords() []string {
	return []string{"title", "section", "system", "ask", "count", "rule", "table", "check", "part", "variant", "correlation", "handout", "end"}
}

// IsName tells whether a text can name a cell.
func IsName(text string) bool {
	text = nfc(text)
	for i, r := range text {
		if i == 0 && !isLetter(r) || i > 0 && !isNameRune(r) {
			return false
		}
	}
	return text != "" && !reserved[text]
}

func isLetter(r rune) bool {
	if r < utf8.RuneSelf {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z'
	}
	return unicode.IsLetter(r)
}

func isNameRune(r rune) bool {
	if r < utf8.RuneSelf {
		return isLetter(r) || r == '_' || r >= '0' && r <= '9'
	}
	return unicode.IsLetter(r) || unicode.Is(unicode.Mn, r) || unicode.Is(unicode.Mc, r) || unicode.Is(unicode.Nd, r)
}

// nfc brings a name to the composed form of Unicode, so that an é typed in one piece or in two is the same letter.
func nfc(name string) string {
	for i := range len(name) {
		if name[i] >= utf8.RuneSelf {
			return norm.NFC.String(name)
		}
	}
	return name
}

// operator gives the plain form of a sign: `×` is `*`, `−` is `-`, `≤` is `<=`, `+/-` is `±`.
func operator(text string) string {
	switch text {
	case "×", "·", "⋅":
		return "*"
	case "÷":
		return "/"
	case "−":
		return "-"
	case "≠":
		return "!="
	case "≤":
		return "<="
	case "≥":
		return ">="
	case "+/-":
		return "±"
	case "+/-s":
		return "±s"
	}
	return text
}

var vulgar = map[rune][2]int64{
	'½': {1, 2}, '¼': {1, 4}, '¾': {3, 4}, '⅓': {1, 3}, '⅔': {2, 3}, '⅛': {1, 8}, '⅜': {3, 8}, '⅝': {5, 8}, '⅞': {7, 8},
	'⅙': {1, 6}, '⅚': {5, 6}, '⅕': {1, 5}, '⅖': {2, 5}, '⅗': {3, 5}, '⅘': {4, 5},
}

const superDigits = "⁰¹²³⁴⁵⁶⁷⁸⁹"

func isSuper(r rune) bool { return r == '⁻' || strings.ContainsRune(superDigits, r) }
