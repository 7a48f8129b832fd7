package units

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
)

// row is one line of the tables. names begins with the singular and the plural; what follows are other spellings. A
// name with a blank in it is shown, and not read.
type row struct {
	symbol   string
	also     string // other symbols, with blanks between
	names    string // "foot, feet": with commas between
	is       string // what one unit is, in units above it: "0.3048 m"; empty for a base unit
	source   string
	about    string
	prefixes bool
	dim      kind.Dim // of a base unit
	offset   string   // of a temperature scale: its zero in kelvin
}

// group is the rows of one system.
type group struct {
	system catalogue.System
	rows   []row
}

func tables() []group {
	return []group{
		{catalogue.SI, si},
		{catalogue.WithSI, withSI},
		{catalogue.US, customary},
		{catalogue.Imperial, imperial},
		{catalogue.Trade, trade},
	}
}

// build makes the catalogue of groups of rows and of the currencies. It fails where a definition cannot be read or
// where two units share a spelling.
func build(groups []group) (*Catalogue, error) {
	c := &Catalogue{spellings: map[string]int{}}
	for _, g := range groups {
		for _, r := range g.rows {
			if err := c.addRow(r, g.system); err != nil {
				return nil, fmt.Errorf("unit %s: %w", r.symbol, err)
			}
		}
	}
	money, err := currencies()
	if err != nil {
		return nil, err
	}
	for _, u := range money {
		if err := c.add(u, false); err != nil {
			return nil, fmt.Errorf("currency %s: %w", u.Symbol, err)
		}
		c.currencies = append(c.currencies, u.Symbol)
	}
	c.finish()
	return c, nil
}

// addRow takes a row and its prefixed forms into the catalogue, so that rows below it can use them.
func (c *Catalogue) addRow(r row, system catalogue.System) error {
	names := splitNames(r.names)
	if len(names) < 2 {
		return fmt.Errorf("the singular and the plural are wanted")
	}
	u := catalogue.Unit{
		Symbol: r.symbol, Name: names[0], Plural: names[1], Dim: r.dim, Ratio: big.NewRat(1, 1),
		System: system, Source: r.source, About: r.about, Prefixes: r.prefixes,
		Others: others(r.symbol, append(strings.Fields(r.also), names...)),
	}
	if r.is != "" {
		d, err := c.define(r.is)
		if err != nil {
			return err
		}
		u.Ratio, u.Dim, u.Pi = d.ratio, d.dim, d.pi
	}
	if r.offset != "" {
		offset, ok := new(big.Rat).SetString(r.offset)
		if !ok {
			return fmt.Errorf("the offset %q is not a number", r.offset)
		}
		u.Form, u.Offset = kind.Point, offset
	}
	if err := c.add(u, false); err != nil {
		return err
	}
	if !r.prefixes {
		return nil
	}
	for _, p := range prefixes {
		if err := c.add(p.on(u, strings.Fields(r.also), names), true); err != nil {
			return err
		}
	}
	return nil
}

func splitNames(s string) []string {
	names := strings.Split(s, ",")
	for i := range names {
		names[i] = strings.TrimSpace(names[i])
	}
	return names
}

// others leaves out of the spellings the symbol, repetitions, and names of several words, which are only shown.
func others(symbol string, spellings []string) []string {
	var out []string
	for _, s := range spellings {
		if s != symbol && !strings.Contains(s, " ") && !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

func (c *Catalogue) add(u catalogue.Unit, prefixed bool) error {
	if prefixed && u.Symbol == "kg" {
		return nil // the kilogram is a row of its own: the base unit of the SI has the prefix in its name
	}
	for _, s := range append([]string{u.Symbol}, u.Others...) {
		if i, ok := c.spellings[s]; ok {
			return fmt.Errorf("%q already means %s", s, c.entries[i].Name)
		}
		c.spellings[s] = len(c.entries)
	}
	c.entries = append(c.entries, entry{u, prefixed})
	return nil
}

// definition is the value of a unit in coherent SI units: ratio, times pi where pi is set.
type definition struct {
	ratio *big.Rat
	pi    bool
	dim   kind.Dim
}

// define reads a definition, "12 in", "5/9 K", "pi/180 rad", "lbf/ft^2": numbers, pi and units with whole powers,
// multiplied and divided from left to right; a blank multiplies.
func (c *Catalogue) define(text string) (definition, error) {
	d := definition{ratio: big.NewRat(1, 1)}
	text = strings.NewReplacer("*", " ", "/", " /").Replace(text)
	for _, word := range strings.Fields(text) {
		word, divide := strings.CutPrefix(word, "/")
		f, err := c.factor(word)
		if err != nil {
			return definition{}, err
		}
		if f.pi && (d.pi || divide) {
			return definition{}, fmt.Errorf("pi may stand once, and not below the line")
		}
		d.pi = d.pi || f.pi
		if divide {
			d.ratio.Quo(d.ratio, f.ratio)
			d.dim, err = d.dim.Div(f.dim)
		} else {
			d.ratio.Mul(d.ratio, f.ratio)
			d.dim, err = d.dim.Mul(f.dim)
		}
		if err != nil {
			return definition{}, err
		}
	}
	return d, nil
}

// factor reads one number, pi, or unit with its power.
func (c *Catalogue) factor(word string) (definition, error) {
	if word == "pi" {
		return definition{ratio: big.NewRat(1, 1), pi: true}, nil
	}
	if number, ok := new(big.Rat).SetString(word); ok && number.Sign() > 0 {
		return definition{ratio: number}, nil
	}
	name, power, _ := strings.Cut(word, "^")
	n := 1
	if power != "" {
		if _, err := fmt.Sscanf(power, "%d", &n); err != nil || n < 1 {
			return definition{}, fmt.Errorf("%q is not a power above 0", power)
		}
	}
	u, ok := c.Unit(name)
	if !ok {
		return definition{}, fmt.Errorf("%q is no unit above it", name)
	}
	d := definition{ratio: big.NewRat(1, 1), pi: u.Pi}
	if u.Pi && n > 1 {
		return definition{}, fmt.Errorf("a power of pi cannot be held")
	}
	for range n {
		d.ratio.Mul(d.ratio, u.Ratio)
	}
	var err error
	d.dim, err = u.Dim.Pow(kind.Int(n))
	return d, err
}

// finish sorts the list for help and gathers what Near offers.
func (c *Catalogue) finish() {
	for _, e := range c.entries {
		if !e.prefixed {
			c.listed = append(c.listed, e.Unit)
		}
	}
	slices.SortStableFunc(c.listed, func(a, b catalogue.Unit) int {
		if d := kindRank(a) - kindRank(b); d != 0 {
			return d
		}
		if d := strings.Compare(a.Dim.String(), b.Dim.String()); d != 0 {
			return d
		}
		return systemRank(a.System) - systemRank(b.System)
	})
	for _, e := range c.entries {
		if e.System != catalogue.Currency && (!e.prefixed || slices.Contains(commonlyPrefixed, e.Symbol)) {
			c.candidates = append(append(c.candidates, e.Symbol), e.Others...)
		}
	}
}

// kindRank puts the kinds in the order of kind.Entries, temperature scales behind temperature differences, kinds
// without a word of their own behind them, and money last.
func kindRank(u catalogue.Unit) int {
	if u.System == catalogue.Currency {
		return 2 * (len(kind.Entries) + 1)
	}
	rank := slices.IndexFunc(kind.Entries, func(e kind.Entry) bool { return e.Dim == u.Dim })
	if rank < 0 {
		rank = len(kind.Entries)
	}
	if u.Form == kind.Point {
		return 2*rank + 1
	}
	return 2 * rank
}

func systemRank(s catalogue.System) int {
	return slices.Index([]catalogue.System{catalogue.SI, catalogue.WithSI, catalogue.US, catalogue.Imperial,
		catalogue.Trade, catalogue.Currency}, s)
}
