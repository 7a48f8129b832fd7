package engine

import "slices"

// bulk is how many cells an edit must put for the whole order to be made anew rather than mended edge by edge.
const bulk = 64

// arrange mends the order after an edit; it gives the ring where the edit closes one.
func (j *Job) arrange(e Edit) *Ring {
	if len(e.Put) > bulk || len(e.Drop) > 0 {
		return j.rearrange()
	}
	for _, p := range e.Put {
		if n := &j.nodes[p.ID]; n.pos < 0 {
			n.pos = len(j.order)
			j.order = append(j.order, p.ID)
		}
	}
	for _, p := range e.Put {
		for _, in := range p.Formula.Inputs {
			if ring := j.mend(in, p.ID); ring != nil {
				return ring
			}
		}
	}
	return nil
}

// rearrange makes the order anew: cells without open inputs first (Kahn). What is left over holds a ring.
func (j *Job) rearrange() *Ring {
	open := make([]int32, len(j.nodes))
	order := make([]ID, 0, len(j.nodes))
	alive := 0
	for id := range j.nodes {
		n := &j.nodes[id]
		n.pos = -1
		if !n.alive {
			continue
		}
		alive++
		for i, in := range n.formula.Inputs {
			if first(n.formula.Inputs, in) == i {
				open[id]++
			}
		}
		if open[id] == 0 {
			order = append(order, ID(id))
		}
	}
	for k := 0; k < len(order); k++ {
		j.nodes[order[k]].pos = k
		for _, u := range j.nodes[order[k]].users {
			if open[u]--; open[u] == 0 {
				order = append(order, u)
			}
		}
	}
	j.order = order
	if len(order) == alive {
		return nil
	}
	for id := range j.nodes {
		if j.nodes[id].alive && j.nodes[id].pos < 0 {
			return j.walkRing(ID(id))
		}
	}
	return nil
}

// walkRing follows inputs that are not in the order until one comes again.
func (j *Job) walkRing(id ID) *Ring {
	var way []ID
	seen := map[ID]int{}
	for {
		if at, ok := seen[id]; ok {
			way = way[at:]
			break
		}
		seen[id] = len(way)
		way = append(way, id)
		for _, in := range j.nodes[id].formula.Inputs {
			if j.nodes[in].pos < 0 {
				id = in
				break
			}
		}
	}
	return j.ring(way)
}

func (j *Job) ring(ids []ID) *Ring {
	r := &Ring{IDs: ids}
	for _, id := range ids {
		r.Names = append(r.Names, j.nodes[id].formula.Name)
	}
	return r
}

// mend brings the order right for one edge, `user` resting on `in` (Pearce and Kelly, A dynamic topological sort
// algorithm for directed acyclic graphs, 2006): only the cells between the two move.
func (j *Job) mend(in, user ID) *Ring {
	if in == user {
		return j.ring([]ID{in})
	}
	low, high := j.nodes[user].pos, j.nodes[in].pos
	if high < low {
		return nil
	}
	from := map[ID]ID{}
	forward := j.reach(user, func(id ID) []ID { return j.nodes[id].users }, func(pos int) bool { return pos <= high }, from)
	if _, closed := from[in]; closed {
		way := []ID{in}
		for id := in; id != user; {
			id = from[id]
			way = append(way, id)
		}
		return j.ring(way)
	}
	backward := j.reach(in, func(id ID) []ID { return j.nodes[id].formula.Inputs }, func(pos int) bool { return pos >= low }, map[ID]ID{})
	byPos := func(a, b ID) int { return j.nodes[a].pos - j.nodes[b].pos }
	slices.SortFunc(backward, byPos)
	slices.SortFunc(forward, byPos)
	moved := slices.Concat(backward, forward)
	places := make([]int, len(moved))
	for i, id := range moved {
		places[i] = j.nodes[id].pos
	}
	slices.Sort(places)
	for i, id := range moved {
		j.nodes[id].pos = places[i]
		j.order[places[i]] = id
	}
	return nil
}

// reach gives the cells that can be reached from one within a bound, itself first.
func (j *Job) reach(start ID, next func(ID) []ID, within func(pos int) bool, from map[ID]ID) []ID {
	out := []ID{start}
	seen := map[ID]bool{start: true}
	for k := 0; k < len(out); k++ {
		for _, id := range next(out[k]) {
			if !seen[id] && within(j.nodes[id].pos) {
				seen[id] = true
				from[id] = out[k]
				out = append(out, id)
			}
		}
	}
	return out
}

// heap is a queue of cells by their place in the order.
type heap struct{ ids []ID }

func (h *heap) push(j *Job, id ID) {
	h.ids = append(h.ids, id)
	for i := len(h.ids) - 1; i > 0; {
		up := (i - 1) / 2
		if j.nodes[h.ids[up]].pos <= j.nodes[h.ids[i]].pos {
			return
		}
		h.ids[up], h.ids[i] = h.ids[i], h.ids[up]
		i = up
	}
}

func (h *heap) pop(j *Job) ID {
	top := h.ids[0]
	last := len(h.ids) - 1
	h.ids[0] = h.ids[last]
	h.ids = h.ids[:last]
	for i := 0; ; {
		k := 2*i + 1
		if k >= last {
			return top
		}
		if k+1 < last && j.nodes[h.ids[k+1]].pos < j.nodes[h.ids[k]].pos {
			k++
		}
		if j.nodes[h.ids[i]].pos <= j.nodes[h.ids[k]].pos {
			return top
		}
		h.ids[i], h.ids[k] = h.ids[k], h.ids[i]
		i = k
	}
}
