package report

import (
	"strings"
	"unicode"
)

// words cuts a text into its words, in small letters: strength_at is two.
func words(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// stem takes the commonest endings off a word, so that lifts, lifted and lifting are one. It need not give a word; it need
// only give the same for the forms of one.
func stem(w string) string {
	if other, ok := spellings[w]; ok {
		w = other
	}
	for _, end := range []struct{ cut, put string }{
		{"iest", "y"}, {"ier", "y"}, {"ies", "y"}, {"ied", "y"}, {"ations", ""}, {"ation", ""}, {"ings", ""}, {"ing", ""}, {"ed", ""},
		{"ions", ""}, {"ion", ""}, {"sses", "ss"}, {"xes", "x"}, {"ches", "ch"}, {"shes", "sh"}, {"s", ""},
	} {
		head, ok := strings.CutSuffix(w, end.cut)
		if !ok || len(head+end.put) < 3 || !strings.ContainsAny(head+end.put, "aeiouy") || end.cut == "s" && strings.ContainsAny(head[len(head)-1:], "su") {
			continue
		}
		w = head + end.put
		if n := len(w); (end.cut == "ing" || end.cut == "ed") && n > 3 && w[n-1] == w[n-2] && !strings.ContainsRune("lsz", rune(w[n-1])) {
			w = w[:n-1] // stripping, strip
		}
		break
	}
	if n := len(w); n > 3 && w[n-1] == 'e' {
		w = w[:n-1]
	}
	return w
}

// spellings brings the spellings of North America to those that the library is written in.
var spellings = map[string]string{
	"mold": "mould", "molds": "mould", "molding": "moulding", "color": "colour", "colors": "colour", "fiber": "fibre", "fibers": "fibre",
	"labor": "labour", "center": "centre", "gray": "grey", "meter": "metre", "liter": "litre", "aging": "age",
}

// filler words ask, and say nothing of what about.
var filler = set(`a about all am an and any are as at be been by can could do does for from get given gives go has have her his
	how i if in into is it its just made make many may me might more much must my need needed needs no not of off on one or our out
	over so some than that the their them there they this to too under until up us use was we what when where which while who
	why will with would you your`)

func set(list string) map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(list) {
		out[w] = true
	}
	return out
}

// everyday gives, for the stem of a word of the yard, the words that the library has for it.
var everyday = func() map[string][]string {
	out := map[string][]string{}
	for _, line := range []string{
		"weigh: mass heavy", "weight: mass heavy", "buoyant: floats", "buoyancy: floats", "bulge: bows", "bend: bows", "sag: deflection",
		"demould: strip", "unmould: strip", "ready: strip", "harden: strength", "rebar: reinforcing bar", "steel: reinforcing",
		"paint: sealer", "varnish: sealer", "glue: adhesive", "silicone: rubber", "plywood: sheet board", "panel: board", "timber: board",
		"wage: labour", "worker: people", "crew: people", "offer: quotation", "bid: quotation", "invoice: due", "charge: price",
		"profit: margin", "holiday: working off", "calendar: date", "schedule: deadline date", "van: payload", "truck: payload",
		"trailer: payload", "topple: tips", "tilt: tips", "gravel: rock sand", "gap: joint", "seam: joint", "dye: pigment", "colour: pigment",
		"stain: pigment", "spare: left", "leftover: left", "crane: sling", "hoist: sling", "chain: sling", "pallet: stack",
		"break: rupture", "snap: rupture", "crack: rupture", "freeze: freezing exposure", "dust: mask", "thick: thickness",
	} {
		word, others, _ := strings.Cut(line, ":")
		for _, o := range strings.Fields(others) {
			out[stem(word)] = append(out[stem(word)], stem(o))
		}
	}
	return out
}()
