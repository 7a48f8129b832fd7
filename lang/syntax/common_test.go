package syntax_test

import (
	"strings"

	"castwright/lang/diag"
	"castwright/lang/syntax"
)

// The units of the tests. Which words are units is the catalogue's to say; syntax is given the answer.
var unitWords = func() map[string]bool {
	out := map[string]bool{}
	for _, u := range strings.Fields("m mm cm km in ft yd kg g lb lbf oz N kN Pa MPa psi W K degC degF °C °F Cdeg deg ° rad L mL gal " +
		"s min h d J mol USD EUR bag bags pallet pallets inches days board_ft µm") {
		out[u] = true
	}
	return out
}()

func isUnit(word string) bool { return unitWords[word] }

// sheet is the sheet that opens the contract of the language.
const sheet = `title  "Tree bench"
system metric

1 bag = 80 lb
1 EUR = 1.09 USD                          # bank, 2027-03-01
count pallet, pallets

section "Inputs"
clearance  = 620 mm                       # free radius left for the trunk
seat_depth = 430 ± 3 mm
thickness  = 95 mm
segments   = 10
joint      = 4 mm
ask bag_price [USD] assume 12 USD         # the supplier fills this in
ask lead_time [d]

section "Geometry"
seat  = sector(clearance, clearance + seat_depth, 360 deg / segments)
piece = extrude(shrink(seat, joint / 2), thickness, roundover: 6 mm)
mass  = piece.volume * 2350 kg/m^3        [0.1 kg]

part leg_parts from "leg.sheet" (height: 450 mm)

table pours
  volume    = pieces * piece.volume * (1 + waste)    [L]
  bags_used = volume / 0.60 ft^3                     [0.01]
  share     = volume / sum(pours.volume)             [%]
  day              | pieces | waste
  2027-03-01T07:30 | 4      | 8%
  2027-03-02T07:30 | 6      | 8%
end

total_bags = round_up(sum(pours.bags_used), 1)       # 80 lb bags, whole
check one_person: mass <= 23 kg else "not a lift for one person"

handout supplier "Materials order"
  total_bags with note, bag_price, lead_time
end

rule strength_at(age [d], f28 [MPa], cement = "I", curing = "moist")
  about   "Compressive strength of concrete at an age, from its strength at 28 days."
  source  "ACI 209R-92, equation 2-1 and table 2.2.1"
  needs   age > 0, f28 > 0
  holds   1 d <= age <= 3650 d
  caution "An estimate. Cylinders cured with the pieces decide when a piece may carry load."
  table constants
    type | cured   | a [d] | b
    "I"  | "moist" | 4.0   | 0.85
  end
  row = only(constants where constants.type == cement and constants.cured == curing)
  give f28 * age / (row.a + row.b * age)  [MPa]
end
`

func line(text string) (syntax.Statement, diag.List) {
	st, _, ms := syntax.ReadLine(&diag.Source{Name: "line 1", Text: text}, isUnit)
	return st, ms
}
