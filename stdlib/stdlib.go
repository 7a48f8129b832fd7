// Package stdlib is the trade: units, shapes, functions, and the library of rules in the cell language. It gives the
// language and the engine all of it as one catalogue.Library.
package stdlib

import (
	"embed"
	"sort"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
	"castwright/stdlib/dates"
	"castwright/stdlib/numbers"
	"castwright/stdlib/units"
)

//go:embed rules/*.rules
var ruleFiles embed.FS

// Library is the standard library. It cannot be changed, and may be shared.
type Library struct {
	*units.Catalogue
	funcs      []*catalogue.Func
	byName     map[string]*catalogue.Func
	properties map[kind.Form]map[string]*catalogue.Func
	rules      []catalogue.RuleFile
}

var _ catalogue.Library = (*Library)(nil)

// New gathers the library.
func New() *Library {
	l := &Library{Catalogue: units.New(), byName: map[string]*catalogue.Func{}, properties: map[kind.Form]map[string]*catalogue.Func{}}
	for _, fs := range [][]*catalogue.Func{numbers.Funcs(), dates.Funcs(), shapeFuncs(), nestFuncs(), drawingFuncs()} {
		for _, f := range fs {
			l.byName[f.Name] = f
			l.funcs = append(l.funcs, f)
		}
	}
	for form, fs := range shapeProperties() {
		l.properties[form] = map[string]*catalogue.Func{}
		for _, f := range fs {
			l.properties[form][f.Name] = f
		}
	}
	entries, err := ruleFiles.ReadDir("rules")
	if err != nil {
		panic(err) // the files are part of the program
	}
	for _, e := range entries {
		text, err := ruleFiles.ReadFile("rules/" + e.Name())
		if err != nil {
			panic(err)
		}
		l.rules = append(l.rules, catalogue.RuleFile{Name: e.Name(), Text: string(text)})
	}
	return l
}

// Func finds a Go function by its name.
func (l *Library) Func(name string) (*catalogue.Func, bool) {
	f, ok := l.byName[name]
	return f, ok
}

// Funcs lists the Go functions, in the order of their families.
func (l *Library) Funcs() []*catalogue.Func { return l.funcs }

// Property finds what follows a dot behind an outline, a solid or a point.
func (l *Library) Property(form kind.Form, name string) (*catalogue.Func, bool) {
	f, ok := l.properties[form][name]
	return f, ok
}

// Properties lists what may follow a dot.
func (l *Library) Properties(form kind.Form) []string {
	var out []string
	for n := range l.properties[form] {
		out = append(out, n)
	}
	sort.Strings(out)
	return out
}

// RuleFiles lists the files of rules.
func (l *Library) RuleFiles() []catalogue.RuleFile { return l.rules }
