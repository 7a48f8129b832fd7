// Package syntax turns a line or a file of the cell language into a tree, and a tree back into text. It knows no unit
// and no kind beyond the test whether a word is a unit, which decides what a tight slash belongs to.
//
// A text is read in four steps. The scanner (lex.go) cuts it into tokens; between two tokens stand blanks alone, so that
// the offsets of tokens tell what is written tight. The splitter (split.go) cuts the tokens into statements, so that one
// that is wrong does not take its neighbours along. Each statement is read by a small grammar of its own (grammar.go),
// and expressions, literals, units, texts and shown brackets inside it by a climber of precedences (climb.go and the
// files beside it), which the grammar calls. What comes out is put into the tree (read.go, blocks.go; tree.go).
//
// ReadFile never fails: what is wrong is told in the file's messages, and everything else is read. The items of a file
// tile its text, so that Print gives the same bytes. Format gives the canonical layout (format.go, spacing.go,
// layout.go), which means the same and is its own canonical layout.
package syntax
