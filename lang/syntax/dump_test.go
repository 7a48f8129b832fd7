package syntax_test

import (
	"fmt"
	"math/big"
	"reflect"
	"strings"

	"castwright/lang/diag"
	"castwright/lang/syntax"
)

// meaning writes the statements of a file without their places, one a line: two texts that mean the same give the same.
func meaning(f *syntax.File) string {
	var b strings.Builder
	for _, it := range f.Items {
		if it.Statement != nil || it.Bad {
			fmt.Fprintf(&b, "%v %q ", it.Bad, it.Note)
			dump(&b, reflect.ValueOf(it.Statement))
			b.WriteByte('\n')
		}
	}
	return b.String()
}

var spanType = reflect.TypeFor[diag.Span]()

func dump(b *strings.Builder, v reflect.Value) {
	switch v.Kind() {
	case reflect.Interface, reflect.Pointer:
		if r, ok := v.Interface().(*big.Rat); ok && r != nil {
			b.WriteString(r.RatString())
		} else if !v.IsNil() {
			dump(b, v.Elem())
		}
	case reflect.Struct:
		b.WriteString(v.Type().Name() + "{")
		for i := range v.NumField() {
			t := v.Type().Field(i).Type
			if t == spanType || t.Kind() == reflect.Slice && t.Elem() == spanType {
				continue
			}
			b.WriteString(v.Type().Field(i).Name + ":")
			dump(b, v.Field(i))
			b.WriteByte(' ')
		}
		b.WriteByte('}')
	case reflect.Slice:
		b.WriteByte('[')
		for i := range v.Len() {
			dump(b, v.Index(i))
			b.WriteByte(',')
		}
		b.WriteByte(']')
	case reflect.Invalid:
		b.WriteString("nothing")
	default:
		fmt.Fprintf(b, "%#v", v.Interface())
	}
}
