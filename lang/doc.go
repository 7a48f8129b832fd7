// Package lang is the door to the cell language: text to tree (syntax), tree to a typed program (check), and values
// back to text (show). The rooms below it are
//
//	diag       messages: a place in a text, a sentence, the way out; and how they are drawn
//	kind       dimensions with rational exponents, and the types of values
//	catalogue  what the language must know of units, functions and rules; stdlib fills it
//	syntax     lexer, statements, expressions, positions; the canonical layout
//	program    the typed program: registers, lanes, no names, no units
//	check      names, kinds, rules inlined: from tree to program
//	show       how a value is written for a reader
package lang
