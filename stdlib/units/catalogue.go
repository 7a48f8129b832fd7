// Package units holds the units of measurement and the currencies of the language: the SI with its prefixes, the units
// accepted with it, US customary and imperial units, those of the trade, and money by ISO 4217. They are data: tables
// of rows (si.go, customary.go, trade.go, currencies.go) in which a unit is defined by units above it, exactly, in
// ratios of whole numbers.
package units

import (
	"slices"
	"sync"

	"castwright/lang/catalogue"
)

// Catalogue finds units by their spellings. It cannot be changed, and may be used from several goroutines.
type Catalogue struct {
	entries    []entry
	spellings  map[string]int   // index into entries
	listed     []catalogue.Unit // what All gives
	candidates []string         // spellings that Near offers, without currencies
	currencies []string         // codes
}

// entry is a unit, and whether a prefix made it.
type entry struct {
	catalogue.Unit
	prefixed bool
}

var _ catalogue.Units = (*Catalogue)(nil)

var shared = sync.OnceValue(func() *Catalogue {
	c, err := build(tables())
	if err != nil {
		panic(err) // a slip in the tables of this package, which its tests would have shown
	}
	return c
})

// New gives the catalogue. The tables are read once for the whole program.
func New() *Catalogue { return shared() }

// Unit finds a unit by any of its spellings, case counting. A whole name wins over a prefix with a unit: "min" is the
// minute and "cd" the candela. The ratios in the result are shared and must not be changed.
func (c *Catalogue) Unit(name string) (catalogue.Unit, bool) {
	i, ok := c.spellings[name]
	if !ok {
		return catalogue.Unit{}, false
	}
	return c.entries[i].Unit, true
}

// All lists the units without the prefixed ones, grouped by kind, the commonest kind first, and in a kind by system.
func (c *Catalogue) All() []catalogue.Unit { return slices.Clone(c.listed) }
