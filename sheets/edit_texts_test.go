package sheets_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"castwright/sheets"
)

// dice gives a number from 0 up to, and without, n.
type dice func(n int) int

func (d dice) one(words ...string) string { return words[d(len(words))] }

func (d dice) often(percent int) bool { return d(100) < percent }

// The names of random sheets: lengths, numbers, and what is called by both. h, t and m are names of units too.
var (
	sheetNames = []string{"bench", "leg", "mix", "yard"}
	lengths    = []string{"a", "b", "c", "d", "h", "m"}
	numbers    = []string{"k", "n", "t"}
	others     = []string{"word", "day", "price", "p", "q", "pours", "slabs", "late", "z"}
)

// writer makes random lines of sheets.
type writer struct {
	dice
	files bool // there is a file log.csv
}

// name draws a name of a kind, at times with a sheet or a part before it, at times one that is not there.
func (w writer) name(names []string) string {
	n := w.one(names...)
	switch w.dice(24) {
	case 0, 1, 2:
		return w.one(sheetNames...) + "." + n
	case 3:
		return w.one("p", "q") + "." + n
	case 4:
		return w.one(others...)
	}
	return n
}

func (w writer) literal() string {
	return w.one("3 mm", "1.5 m", "2 in", "0", "40 mm", "7 mm", "0.25 m")
}

// length draws a formula that is a length, unless a name in it is none.
func (w writer) length(deep int) string {
	if deep <= 0 {
		if w.often(30) {
			return w.literal()
		}
		return w.name(lengths)
	}
	a, b := w.length(deep-1), w.length(deep-1)
	switch w.dice(20) {
	case 0, 1:
		return a + " + " + b
	case 2:
		return fmt.Sprintf("(%s - %s)", a, b)
	case 3, 4:
		return fmt.Sprintf("%s * %s", w.number(deep-1), a)
	case 5:
		return fmt.Sprintf("(if %s > %s then %s else %s)", a, b, w.length(deep-1), w.literal())
	case 6:
		return "sum(" + w.column("x") + ")"
	case 7:
		return "sum(" + w.column("v") + ")"
	case 8:
		return fmt.Sprintf(`sum(pours.x where pours.kind == "%s")`, w.one("a", "b", "c"))
	case 9:
		return fmt.Sprintf("otherwise(%s, %s)", a, b)
	case 10:
		return "double(" + a + ")"
	case 11:
		return fmt.Sprintf("round_up(%s, 1 mm)", a)
	case 12:
		return fmt.Sprintf("mean(known(%s))", w.column("x"))
	case 13:
		return fmt.Sprintf("largest(%s, %s)", a, b)
	case 14:
		return fmt.Sprintf("only(slabs where slabs.n == %s).x", w.number(0))
	case 15:
		return "sqrt(" + a + " * " + b + ")"
	}
	return w.length(deep - 1)
}

func (w writer) column(name string) string {
	t := w.one("pours", "pours", "slabs")
	if w.often(8) {
		t = w.one("p", "leg", "mix") + "." + t
	}
	return t + "." + name
}

func (w writer) number(deep int) string {
	if deep <= 0 {
		if w.often(40) {
			return w.one("2", "3", "0.5", "10%", "1.25")
		}
		return w.name(numbers)
	}
	switch w.dice(10) {
	case 0, 1:
		return fmt.Sprintf("%s / %s", w.length(deep-1), w.length(0))
	case 2:
		return fmt.Sprintf("%s + %s", w.number(deep-1), w.number(0))
	case 3:
		return "count(" + w.one("pours", "slabs", "pours.x") + ")"
	case 4:
		return "sum(pours.n)"
	case 5:
		return fmt.Sprintf("%s / 1 bag", w.one("price", "3 bag", "2 bags"))
	}
	return w.number(0)
}

// define draws the line that makes a name.
func (w writer) define(name string) string {
	note := w.one("", "", "", "  # a note", "   # 3 mm (guess)")
	shown := w.one("", "", "", " [mm]", " [m]", " [0.1 mm]", " [ft, 1/8 in]", " [kg]")
	switch {
	case slices.Contains(lengths, name):
		switch w.dice(12) {
		case 0, 1, 2, 3:
			return name + " = " + w.literal() + note
		case 4:
			return name + " = " + w.one("430 ± 3 mm", "5 mm ± 2%", "20 mm from 19 mm to 22 mm") + note
		case 5:
			return "ask " + name + w.one(" [mm]", " [m]", "") + w.one("", " assume "+w.length(1), " assume 3 mm") + w.one("", " given 5 mm", " given 2 kg") + note
		}
		return name + " = " + w.length(1+w.dice(2)) + shown + note
	case slices.Contains(numbers, name):
		if w.often(50) {
			return name + " = " + w.one("2", "3", "0.5", "10%", "4") + note
		}
		return name + " = " + w.number(1+w.dice(2)) + w.one("", "", " [%]", " [0.01]") + note
	}
	switch name {
	case "word":
		return "word = " + w.one(`"a"`, `"{a} and {n}"`, `"{word}"`, `"{leg.a [mm]}"`) + note
	case "day":
		return "day = " + w.one("2027-03-01", "day + 1 d", "2027-03-01 + 2 d")
	case "price":
		return "price = " + w.one("3 EUR", "3 bag", "2 crates", "12 USD", "3 EUR [USD]", "2 bags", "80 lb")
	case "late":
		return "late = " + w.one("strength_at(7 d, 30 MPa)", "strength_at(0.5 d, 30 MPa)", `strength_at(0.5 d, 30 MPa) accept "seen" (strength_at)`)
	}
	return name + " = " + w.length(1)
}

// line draws a statement of any sort, with its block.
func (w writer) line() string {
	switch w.dice(22) {
	case 0, 1:
		return w.table()
	case 2:
		if w.files && w.often(40) {
			return "part q from \"sub/box.sheet\"" + w.bracket()
		}
		return fmt.Sprintf("part %s from \"%s.sheet\"%s", w.one("p", "q"), w.one(sheetNames...), w.bracket())
	case 3:
		return fmt.Sprintf("check %s%s%s", w.one("", "", "fits: ", "a: "), w.one(w.length(1)+" < "+w.length(0), "pours.x > 2 mm", "yes", w.number(0)), w.one("", ` else "too long: {a}"`, ` else "no"`))
	case 4:
		return w.one("rule double(x)\n  give x * 2\nend", "rule double(x)\n  y = x + x\n  give y\nend", "rule double(x [mm])\n  needs x > 4 mm\n  give x * 2\nend", "rule double(x)\n  holds x < 1 m\n  give x * 3\nend")
	case 5:
		return w.one("1 bag = 80 lb", "1 bag = 60 lb", "count bag, bags", "count pallet, pallets", "1 EUR = 1.09 USD", "1 EUR = 1.2 USD")
	case 6:
		return w.one(`section "S"`, `section "of {a}"`, `title "T {n}"`, "system us", "system metric")
	case 7:
		return w.one("", "# words", "  # = 3 mm", "\t", "\n\n")
	case 8:
		return w.one("x = 1 +", "y = (1 m", "zz", "e = 5 Kg", "a = ", "= 3 mm", "end", "f = 1,000 mm", "g = 2 kg + 1 m", `s = "open`, "table u", "| 3 | 4")
	case 9:
		return w.one("variant wet (a: 3 mm)", "variant wet (k: "+w.number(1)+", b: "+w.length(1)+")", "correlation a, b = 0.3", "handout crew \"Crew\"\n  a, b with note\nend")
	case 10, 11, 12:
		return w.define(w.one(others...))
	}
	return w.define(w.one(append(lengths, numbers...)...))
}

// bracket draws what a part replaces.
func (w writer) bracket() string {
	var all []string
	for range w.dice(3) {
		all = append(all, w.one("a: "+w.length(1), "b: "+w.length(0), "k: "+w.number(0), "n: 4", "pours: pours", "bag: 70 lb", "z: 3 mm"))
	}
	if all == nil {
		return ""
	}
	return " (" + strings.Join(all, ", ") + ")"
}

func (w writer) table() string {
	name := w.one("pours", "pours", "slabs")
	var b strings.Builder
	if w.files && w.often(30) {
		return fmt.Sprintf("table %s from \"log.csv\"", name)
	}
	fmt.Fprintf(&b, "table %s\n", name)
	for range w.dice(3) {
		fmt.Fprintf(&b, "  %s\n", w.one("v = x * 2", "v = x * n [mm]", "r = running(x)", "s = before(s, first: 0 mm) + x", "v = if kind == \"a\" then x else 0 mm",
			"w = x / "+w.name(lengths), "g = steps(x, first: 0 mm)", "v = x + "+w.name(lengths)+"  # with a note", "w = x / sum("+name+".x)"))
	}
	b.WriteString(w.one("  x [mm] | n | kind\n", "  x | n | kind\n", "  x [m] | n | kind  # heads\n"))
	for range w.dice(5) {
		b.WriteString("  " + w.row() + "\n")
	}
	return b.String() + "end"
}

func (w writer) row() string {
	return fmt.Sprintf("%s | %s | %s", w.one("3", "4", "5.5", "", "7 mm", "("+w.length(0)+")", "0"), w.one("2", "3", "", "("+w.number(0)+")", "1.5"), w.one(`"a"`, `"b"`, `"a"`, "", "3 kg"))
}

// sheet draws the text of a sheet. Most names are made once.
func (w writer) sheet() string {
	var lines []string
	names := slices.Concat(lengths, numbers)
	for _, n := range names {
		if w.often(60) {
			lines = append(lines, w.define(n))
		}
	}
	if w.often(70) {
		lines = append(lines, w.table())
	}
	for range w.dice(5) {
		if l := w.line(); !w.clashes(lines, l) {
			lines = append(lines, l)
		}
	}
	for i := range lines {
		k := i + w.dice(len(lines)-i)
		lines[i], lines[k] = lines[k], lines[i]
	}
	end := w.one("\n", "\n", "\n", "\r\n")
	text := strings.ReplaceAll(strings.Join(lines, "\n"), "\n", end)
	return w.one("", "", "", "\ufeff") + text + w.one(end, end, "")
}

var firstWord = regexp.MustCompile(`^(?:table |part |ask |rule )?([a-z]+)`)

// clashes tells whether a line makes a name that another makes: most random sheets are to be in order.
func (w writer) clashes(lines []string, l string) bool {
	if w.often(3) {
		return false
	}
	m := firstWord.FindStringSubmatch(l)
	return m != nil && slices.ContainsFunc(lines, func(o string) bool {
		n := firstWord.FindStringSubmatch(o)
		return n != nil && n[1] == m[1]
	})
}

var (
	nameIn  = regexp.MustCompile(`[a-z_]+`)
	digitIn = regexp.MustCompile(`[0-9]`)
)

// splices draws one step over the texts of a job. None may come out.
func (w writer) splices(names []string, texts map[string]string) []sheets.Splice {
	name := w.one(names...)
	text := texts[name]
	lines := strings.SplitAfter(text, "\n")
	k := w.dice(len(lines))
	at := len(strings.Join(lines[:k], ""))
	body := strings.TrimRight(lines[k], "\r\n")
	end := "\n"
	if strings.Contains(text, "\r\n") {
		end = "\r\n"
	}
	block := func(l string) string { return strings.ReplaceAll(l, "\n", end) }
	switch w.dice(16) {
	case 0, 1, 2: // another formula, literal or kind under the same name
		is := w.line()
		if m := firstWord.FindStringSubmatch(body); m != nil && slices.Contains(slices.Concat(lengths, numbers, others[:3]), m[1]) {
			is = w.define(m[1])
		}
		return []sheets.Splice{{Sheet: name, At: at, Was: body, Is: block(is)}}
	case 3, 4:
		return []sheets.Splice{{Sheet: name, At: at, Is: block(w.line()) + end}}
	case 5:
		return []sheets.Splice{{Sheet: name, At: at, Was: lines[k]}}
	case 6, 7:
		return w.token(name, text, digitIn, []string{"0", "1", "2", "5", "7", "9"})
	case 8, 9:
		return w.token(name, text, nameIn, slices.Concat(lengths, numbers, others, sheetNames, []string{"mm", "kg", "sum", "x", "v"}))
	case 10:
		return w.rename(names, texts)
	case 11:
		if strings.Contains(body, "|") {
			return []sheets.Splice{{Sheet: name, At: at, Was: body, Is: w.row()}}
		}
		return w.columnMore(name, text)
	case 12:
		return w.columnMore(name, text)
	case 13: // anything anywhere
		at := w.dice(len(text) + 1)
		return []sheets.Splice{{Sheet: name, At: at, Is: w.one("(", ")", "\"", end, " ", "end"+end, "#", " + 1 mm", "\xff", "|", "5", "1 ", "table ", "\ufeff")}}
	case 14:
		at := w.dice(len(text) + 1)
		return []sheets.Splice{{Sheet: name, At: at, Was: text[at:min(len(text), at+1+w.dice(12))]}}
	}
	var all []sheets.Splice
	for range 2 + w.dice(2) {
		all = append(all, w.splices(names, texts)...)
	}
	return apart(all)
}

// token puts another word in the place of one that is found.
func (w writer) token(name, text string, what *regexp.Regexp, words []string) []sheets.Splice {
	found := what.FindAllStringIndex(text, -1)
	if found == nil {
		return nil
	}
	f := found[w.dice(len(found))]
	return []sheets.Splice{{Sheet: name, At: f[0], Was: text[f[0]:f[1]], Is: w.one(words...)}}
}

// rename puts a word in the place of another wherever it stands.
func (w writer) rename(names []string, texts map[string]string) []sheets.Splice {
	from, to := w.one(slices.Concat(lengths, numbers, []string{"pours", "x", "bag"})...), w.one("e", "f", "a", "h", "x", "k", "slabs")
	var out []sheets.Splice
	for _, n := range names {
		for _, f := range nameIn.FindAllStringIndex(texts[n], -1) {
			if texts[n][f[0]:f[1]] == from {
				out = append(out, sheets.Splice{Sheet: n, At: f[0], Was: from, Is: to})
			}
		}
	}
	return out
}

// columnMore puts a place behind each row of a table, and a heading.
func (w writer) columnMore(name, text string) []sheets.Splice {
	var out []sheets.Splice
	at := 0
	for line := range strings.Lines(text) {
		body := strings.TrimRight(line, "\r\n")
		if strings.Contains(body, "|") {
			is := w.one(" | 3", " | 4", " | ")
			if strings.Contains(body, "kind") {
				is = w.one(" | y", " | z [kg]", " | n")
			}
			out = append(out, sheets.Splice{Sheet: name, At: at + len(body), Is: is})
		}
		at += len(line)
	}
	return out
}

// apart leaves out what lies over another.
func apart(all []sheets.Splice) []sheets.Splice {
	var out []sheets.Splice
	for _, s := range all {
		if !slices.ContainsFunc(out, func(o sheets.Splice) bool {
			return o.Sheet == s.Sheet && s.At <= o.At+len(o.Was) && o.At <= s.At+len(s.Was)
		}) {
			out = append(out, s)
		}
	}
	return out
}

// spliced is what splices make of texts, worked out from front to back. An insertion stands before what is replaced at
// the same place.
func spliced(texts map[string]string, all []sheets.Splice) map[string]string {
	out := map[string]string{}
	for name, text := range texts {
		var mine []sheets.Splice
		for _, s := range all {
			if s.Sheet == name {
				mine = append(mine, s)
			}
		}
		slices.SortStableFunc(mine, func(a, b sheets.Splice) int { return 2*(a.At-b.At) + min(len(a.Was), 1) - min(len(b.Was), 1) })
		var b strings.Builder
		at := 0
		for _, s := range mine {
			b.WriteString(text[at:s.At] + s.Is)
			at = s.At + len(s.Was)
		}
		out[name] = b.String() + text[at:]
	}
	return out
}
