package numbers

import (
	"fmt"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
)

const (
	mathSource = "ISO 80000-2:2019"
	practice   = "common practice"
)

var (
	one         = kind.Quantity(kind.One)
	temperature = kind.Of(kind.Temperature)
	truth       = kind.Type{Form: kind.Truth}
)

// result gives the type of a call from those of its arguments.
type result = func([]catalogue.Arg) (kind.Type, error)

// Funcs lists the functions of numbers and lists.
func Funcs() []*catalogue.Func {
	var out []*catalogue.Func
	for _, fs := range [][]*catalogue.Func{rounding(), elementary(), angles(), engineLists(), lists(), statistics(), fits(), states()} {
		out = append(out, fs...)
	}
	return out
}

// sentence makes an error that is read as it stands; it begins with a capital, or with the name of a function, and
// ends with a full stop.
func sentence(format string, args ...any) error { return fmt.Errorf(format, args...) }

func example(line, shown string) []catalogue.Example {
	return []catalogue.Example{{Line: line, Shown: shown}}
}

// plain is a parameter that takes a number without a kind.
func plain(name string) catalogue.Param { return catalogue.Param{Name: name, Type: &one} }

// list is a parameter that takes a whole list of any type.
func list(name string) catalogue.Param { return catalogue.Param{Name: name, Whole: true} }

// always is the result of a function that gives one type, whatever it is given.
func always(t kind.Type) result { return func([]catalogue.Arg) (kind.Type, error) { return t, nil } }

// quantity refuses what is no number of a kind.
func quantity(f string, a catalogue.Arg) error {
	switch a.Type.Form {
	case kind.Number:
		return nil
	case kind.Point:
		return sentence("%s works on numbers; this is %s. Use absolute(T) for kelvin, or the difference of two temperatures.", f, a.Type.Article())
	case kind.Date:
		return sentence("%s works on numbers; this is %s. Take another date away for the time between them.", f, a.Type.Article())
	}
	return sentence("%s works on numbers; this is %s.", f, a.Type.Article())
}

// oneKind wants one number, or two of one kind.
func oneKind(f string, args []catalogue.Arg) error {
	for _, a := range args {
		if err := quantity(f, a); err != nil {
			return err
		}
		if a.Type.Dim != args[0].Type.Dim {
			return sentence("%s takes two values of one kind; these are %s and %s.", f, args[0].Type.Elem().Article(), a.Type.Elem().Article())
		}
	}
	return nil
}

// keep gives the kind of the first argument; all are of that kind.
func keep(f string) result {
	return func(a []catalogue.Arg) (kind.Type, error) { return a[0].Type.Elem(), oneKind(f, a) }
}

// ordered wants a list of what can be set in order and averaged: numbers, temperatures or dates.
func ordered(f string, a catalogue.Arg) (kind.Type, error) {
	t := a.Type.Elem()
	switch t.Form {
	case kind.Number, kind.Point, kind.Date:
		return t, nil
	case kind.Record:
		return t, sentence("%s works on a list of numbers, temperatures or dates; this is %s. Name one column of them.", f, a.Type.Article())
	}
	return t, sentence("%s works on a list of numbers, temperatures or dates; this is %s.", f, a.Type.Article())
}

// keepOrdered gives the type of one element of the first argument.
func keepOrdered(f string) result {
	return func(a []catalogue.Arg) (kind.Type, error) { return ordered(f, a[0]) }
}
