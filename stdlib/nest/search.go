package nest

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// choice is one way to lay all pieces out.
type choice struct {
	order []item
	by    rule
}

// item is a piece in its turn, and the poses that it may take.
type item struct {
	kind  *kind
	turns turns
}

// turns say which poses may be taken. Parts of one kind in fewer poses often lie closer than in any.
type turns uint8

const (
	free     turns = iota
	lying          // as wide as deep, or wider
	standing       // as deep as wide, or deeper
	oneWay         // in the first pose alone
	allTurns
)

// of gives the poses of a kind that may be taken, all where there would be none.
func (t turns) of(k *kind) []*pose {
	switch t {
	case oneWay:
		return k.poses[:1]
	case lying, standing:
		var out []*pose
		for _, p := range k.poses {
			if compared(p.width, p.depth, 1e-9*p.depth) == 0 || p.width > p.depth == (t == lying) {
				out = append(out, p)
			}
		}
		if out != nil {
			return out
		}
	}
	return k.poses
}

// search lays the pieces out by one choice after another, and keeps the best layout: first by all rules in some orders and
// poses, then with the best order changed a little at a time.
func (j *job) search() *plan {
	var best *plan
	var from choice
	try := func(c choice) {
		if p := j.fill(c, best); p != nil && p.better(best) && j.proved(p) {
			best, from = p, c
		}
	}
	for _, c := range j.choices() {
		if best != nil && (j.steps >= j.work.enough || len(best.sheets) == j.least && j.perfect(best)) {
			break
		}
		try(c)
	}
	if best == nil {
		return j.planned(j.inRows(j.pieces()), j.count)
	}
	r := rand.New(rand.NewPCG(1, 2)) // the same numbers each time
	for n := 0; n < mostChanges && j.steps < j.work.enough && len(best.sheets) > j.least; n++ {
		try(from.changed(r))
	}
	return best
}

// changed is a choice with a few pieces exchanged, with a run of pieces in other poses, or by another rule.
func (c choice) changed(r *rand.Rand) choice {
	c.order = slices.Clone(c.order)
	n := len(c.order)
	for range 1 + r.IntN(3) {
		a, b := r.IntN(n), r.IntN(n)
		if r.IntN(2) == 0 {
			c.order[a], c.order[b] = c.order[b], c.order[a]
			continue
		}
		t := turns(r.IntN(int(allTurns)))
		for i := min(a, b); i <= max(a, b); i++ {
			c.order[i].turns = t
		}
	}
	if r.IntN(4) == 0 {
		c.by = rules[r.IntN(len(rules))]
	}
	return c
}

// perfect tells whether a plan takes no more of the last sheet than the area of the parts on it.
func (j *job) perfect(p *plan) bool {
	return p.extent*j.sheet.Width*j.sheet.Depth <= p.last*(1+1e-6)
}

// mostChanges bounds the changes of an order that are tried, where each is little work.
const mostChanges = 400

// pieces lists all pieces, kind by kind.
func (j *job) pieces() []*kind {
	var out []*kind
	for _, k := range j.kinds {
		for range k.count {
			out = append(out, k)
		}
	}
	return out
}

// choices lists orders of the pieces, large ones first by several measures, with all rules and poses.
func (j *job) choices() []choice {
	measures := []func(*kind) float64{
		func(k *kind) float64 { return k.solid.Area() },
		func(k *kind) float64 { return max(k.outline.Width(), k.outline.Depth()) },
		func(k *kind) float64 { return min(k.outline.Width(), k.outline.Depth()) },
		func(k *kind) float64 { return k.outline.Perimeter() },
	}
	var orders [][]*kind
	for _, m := range measures {
		order := j.pieces()
		slices.SortStableFunc(order, func(a, b *kind) int { return cmp.Compare(m(b), m(a)) })
		if !slices.ContainsFunc(orders, func(o []*kind) bool { return slices.Equal(o, order) }) {
			orders = append(orders, order)
		}
	}
	var out []choice
	for t := range allTurns {
		for _, kinds := range orders {
			order := make([]item, len(kinds))
			for i, k := range kinds {
				order[i] = item{k, t}
			}
			for _, r := range rules {
				out = append(out, choice{order, r})
			}
		}
	}
	return out
}
