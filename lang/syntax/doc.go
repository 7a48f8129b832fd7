// Package syntax turns a line or a file of the cell language into a tree, and a tree back into text. It knows no unit
// and no kind beyond the test whether a word is a unit, which decides what a tight slash belongs to.
package syntax
