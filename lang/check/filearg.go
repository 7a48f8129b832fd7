package check

import (
	"fmt"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/diag"
	"castwright/lang/kind"
	"castwright/lang/syntax"
	"castwright/lang/value"
)

// file reads the file that an argument of a Go function names, and gives what is made of it. The name is a text in the formula
// itself, so that a job says which files it reads.
func (b *builder) file(f *catalogue.Func, p catalogue.Param, x operand) operand {
	if x.t.Form != kind.Text || x.t.List || x.text == nil || !strings.HasPrefix(b.src.Cut(x.at), `"`) {
		return b.fail(x.at, fmt.Sprintf("%s of %s is the name of a file, and stands here itself.", p.Name, f.Name), fmt.Sprintf(`Write %s("FILE", …) with the name in quotation marks.`, f.Name))
	}
	if b.s.Job.files == nil {
		return b.fail(x.at, "A sheet that stands alone in memory has no files.", "")
	}
	name := nameOfFile(b.src, x.at)
	if name == "" {
		return b.fail(x.at, "This names no file.", fmt.Sprintf(`Write %s("FILE", …).`, f.Name))
	}
	object, err := b.s.Job.files.Object(name, p.File)
	if err != nil {
		return b.fail(x.at, err.Error(), "")
	}
	return b.constant(value.Objs(object), kind.Type{Form: kind.Outline}, x.at)
}

// nameOfFile gives the name of a file that is written as a text of a formula, letter for letter.
func nameOfFile(src *diag.Source, at diag.Span) string {
	name := fileName(src, &syntax.Text{Span: at})
	return strings.NewReplacer("{{", "{", "}}", "}").Replace(name)
}
