package sheets

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"castwright/lang/check"
	"castwright/lang/diag"
	"castwright/lang/syntax"
)

// offset is where an item begins in the text of its file.
func offset(f *syntax.File, item int) int {
	n := 0
	for _, it := range f.Items[:item] {
		n += len(it.Source.Text)
	}
	return n
}

// at gives the place of a span of an item in the text of its file.
func at(f *syntax.File, it *syntax.Item, span diag.Span) int {
	return offset(f, slices.Index(f.Items, it)) + span.From - it.Source.Base
}

// piece is a run of items with the splices in it.
type piece struct {
	file    *syntax.File
	from, n int
	at      int // where its text begins
	splices []Splice
	text    string // with the splices put in
}

// pieces brings splices, which are in order, to the items that they touch, the last first, so that places stay right while
// they are put in.
func (j *Job) pieces(splices []Splice) ([]piece, error) {
	var out []piece
	for _, s := range splices {
		f := j.Checked.File(s.Sheet)
		if f == nil {
			return nil, refuse(fmt.Sprintf("There is no sheet %s.", s.Sheet), "")
		}
		p := touched(f, s)
		if k := len(out) - 1; k >= 0 && out[k].file == f && p.from+p.n > out[k].from {
			p.take(&out[k]) // both touch one item
			out[k] = p
			continue
		}
		out = append(out, p)
	}
	return joined(out)
}

// take makes a piece of two that touch; the splices of the one behind come first.
func (p *piece) take(behind *piece) {
	p.n = max(p.n, behind.from+behind.n-p.from)
	p.splices = append(slices.Clone(behind.splices), p.splices...)
}

// joined gives each piece its text. Where its last line has no end any more, what stands behind belongs to the same line; a
// byte-order mark is one at the beginning of a file alone.
func joined(all []piece) ([]piece, error) {
	var out []piece
	for _, p := range all {
		for {
			k := len(out) - 1
			near := k >= 0 && out[k].file == p.file
			behind := p.from + p.n
			if near && out[k].from < behind {
				p.take(&out[k])
				out = out[:k]
				continue
			}
			var err error
			if p.text, err = p.spliced(); err != nil {
				return nil, err
			}
			open := p.text != "" && !strings.HasSuffix(p.text, "\n")
			switch {
			case p.from > 0 && strings.HasPrefix(p.text, "\ufeff"):
				p.from, p.n = p.from-1, p.n+1
				p.at -= len(p.file.Items[p.from].Source.Text)
				continue
			case open && near && out[k].from == behind:
				p.take(&out[k])
				out = out[:k]
				continue
			case open && behind < len(p.file.Items):
				p.n++
				continue
			}
			break
		}
		out = append(out, p)
	}
	return out, nil
}

// touched finds the items whose text a splice changes. What is put in front of an item touches it, and what is put behind
// one that has no line end.
func touched(f *syntax.File, s Splice) piece {
	p := piece{file: f, splices: []Splice{s}}
	end, pos := s.At+len(s.Was), 0
	for i, it := range f.Items {
		text := it.Source.Text
		next := pos + len(text)
		if s.At < next && (end > pos || s.At == pos && s.Was == "") || s.At == next && !strings.HasSuffix(text, "\n") {
			if p.n == 0 {
				p.from, p.at = i, pos
			}
			p.n++
		}
		if pos = next; pos > end {
			break
		}
	}
	if p.n == 0 { // behind the last item
		p.from, p.at = len(f.Items), pos
	}
	return p
}

// spliced is what the splices make of the text of a piece.
func (p *piece) spliced() (string, error) {
	var b strings.Builder
	for _, it := range p.file.Items[p.from : p.from+p.n] {
		b.WriteString(it.Source.Text)
	}
	text := b.String()
	for _, s := range p.splices {
		k := s.At - p.at
		if k < 0 || k+len(s.Was) > len(text) || text[k:k+len(s.Was)] != s.Was {
			return "", refuse(fmt.Sprintf("The text of %s is not what this edit was made for.", s.Sheet), "Type it again.")
		}
		text = text[:k] + s.Is + text[k+len(s.Was):]
	}
	return text, nil
}

// changes reads the pieces anew with their splices put in.
func (j *Job) changes(splices []Splice) ([]check.Change, error) {
	ps, err := j.pieces(splices)
	if err != nil {
		return nil, err
	}
	var out []check.Change
	for _, p := range ps {
		items := j.Checked.Read(p.file, p.text)
		number(p.file.Items[:p.from], items)
		out = append(out, check.Change{File: p.file, At: p.from, N: p.n, Items: items})
	}
	return out, nil
}

// number counts the lines above items that are not in their file yet, for what is told of them where they are refused.
func number(above, items []*syntax.Item) {
	lines := 0
	for _, it := range above {
		lines += strings.Count(it.Source.Text, "\n")
	}
	for _, it := range items {
		it.Source.First = lines
		lines += strings.Count(it.Source.Text, "\n")
	}
}

// ordered puts splices in the order in which they are put in: by sheet, the last place first. At one place, what stands in
// the place of something comes before what is put in front of it. Pieces that lie over each other are refused.
func ordered(splices []Splice) ([]Splice, error) {
	out := slices.Clone(splices)
	sort.SliceStable(out, func(i, k int) bool {
		switch a, b := out[i], out[k]; {
		case a.Sheet != b.Sheet:
			return a.Sheet < b.Sheet
		case a.At != b.At:
			return a.At > b.At
		default:
			return a.Was != "" && b.Was == ""
		}
	})
	for i := 1; i < len(out); i++ {
		if a, b := out[i], out[i-1]; a.Sheet == b.Sheet && a.At+len(a.Was) > b.At {
			return nil, refuse("Two pieces of this edit lie over each other.", "Make them one.")
		}
	}
	return out, nil
}

// inverse takes splices back that are in order.
func inverse(splices []Splice) []Splice {
	out := make([]Splice, len(splices))
	shift := 0
	for i := len(splices) - 1; i >= 0; i-- {
		s := splices[i]
		if i+1 < len(splices) && splices[i+1].Sheet != s.Sheet {
			shift = 0
		}
		out[i] = Splice{s.Sheet, s.At + shift, s.Is, s.Was}
		shift += len(s.Is) - len(s.Was)
	}
	return out
}

// stretch is where lines of an edit stand in the text of a file once they are put in.
type stretch struct {
	file     *syntax.File
	from, to int
}

// stretches tells where the lines of changes that are still to come will stand; the changes of a file come last first.
func stretches(changes []check.Change) []stretch {
	out := make([]stretch, len(changes))
	shift := 0
	for i := len(changes) - 1; i >= 0; i-- {
		c := changes[i]
		if i+1 < len(changes) && changes[i+1].File != c.File {
			shift = 0
		}
		from := offset(c.File, c.At) + shift
		to := from
		for _, it := range c.Items {
			to += len(it.Source.Text)
		}
		out[i] = stretch{c.File, from, to}
		shift += to - from - (offset(c.File, c.At+c.N) - offset(c.File, c.At))
	}
	return out
}

// within gives the sources of the items that stand in stretches now: all are read again where a word has become a unit.
func (j *Job) within(lines []stretch) map[*diag.Source]bool {
	out := map[*diag.Source]bool{}
	for _, l := range lines {
		at := 0
		for _, it := range l.file.Items {
			next := at + len(it.Source.Text)
			if at < l.to && next > l.from {
				out[it.Source] = true
			}
			at = next
		}
	}
	return out
}
