package engine

import "slices"

// bulk is how many cells an edit must change for the whole order to be made anew rather than mended edge by edge.
const bulk = 64

// move is a place of the order and the cell that stood there before.
type move struct {
	pos int
	id  ID
}

// arrange makes the cells that an edit puts users of their inputs, and mends the order; it gives the ring, and leaves the
// order as it was, where the edit closes one. Uses come one by one, since the order can be mended for one only while it is
// right for all the others.
func (j *Job) arrange(e Edit, added []ID) *Ring {
	if changed := len(e.Put) - len(added); changed > bulk && changed > j.Len()/8 {
		for _, p := range e.Put {
			j.connectAll(p.ID)
		}
		return j.rearrange(added)
	}
	length := len(j.order)
	j.moves = j.moves[:0]
	for _, id := range added {
		j.connectAll(id)
	}
	ring := j.placeAll(added)
	for i := 0; i < len(e.Put) && ring == nil; i++ {
		ring = j.mendAll(e.Put[i].ID)
	}
	if ring == nil {
		return nil
	}
	for i := len(j.moves) - 1; i >= 0; i-- {
		m := j.moves[i]
		j.order[m.pos] = m.id
		if m.id >= 0 {
			j.nodes[m.id].pos = m.pos
		}
	}
	j.order = j.order[:length]
	for _, id := range added {
		j.nodes[id].pos = -1
	}
	return ring
}

// rearrange makes the order of the whole job anew.
func (j *Job) rearrange(added []ID) *Ring {
	old := j.order
	ids := make([]ID, 0, len(old)+len(added))
	for _, id := range old {
		if id >= 0 {
			j.nodes[id].pos = -1
			if j.nodes[id].alive {
				ids = append(ids, id)
			}
		}
	}
	gaps := j.gaps
	j.order, j.gaps = make([]ID, 0, len(old)+len(added)), 0
	ring := j.placeAll(append(ids, added...))
	if ring == nil {
		return nil
	}
	j.order, j.gaps = old, gaps
	for _, id := range added {
		j.nodes[id].pos = -1
	}
	for pos, id := range old {
		if id >= 0 {
			j.nodes[id].pos = pos
		}
	}
	return ring
}

// placeAll puts cells without a place behind all others, each behind what it rests on (Kahn, Topological sorting of
// large networks, 1962). What is left over holds a ring.
func (j *Job) placeAll(ids []ID) *Ring {
	if len(ids) == 0 {
		return nil
	}
	start := len(j.order)
	j.order = slices.Grow(j.order, len(ids))
	for _, id := range ids {
		n := &j.nodes[id]
		n.open = 0
		for _, in := range n.formula.Inputs {
			if j.nodes[in].pos < 0 {
				n.open++
			}
		}
	}
	// A place is given only when all are counted, so that no count depends on the order of ids.
	for _, id := range ids {
		if j.nodes[id].open == 0 {
			j.order = append(j.order, id)
		}
	}
	for k := start; k < len(j.order); k++ {
		id := j.order[k]
		j.nodes[id].pos = k
		for _, u := range j.nodes[id].users {
			n := &j.nodes[u.cell]
			if n.pos >= 0 {
				continue
			}
			if n.open--; n.open == 0 {
				j.order = append(j.order, u.cell)
			}
		}
	}
	if len(j.order)-start == len(ids) {
		return nil
	}
	for _, id := range ids {
		if j.nodes[id].pos < 0 {
			return j.walkRing(id)
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
			return j.ring(way[at:])
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
}

func (j *Job) ring(ids []ID) *Ring {
	r := &Ring{IDs: ids}
	for _, id := range ids {
		r.Names = append(r.Names, j.nodes[id].formula.Name)
	}
	return r
}

// mendAll makes a cell a user of its inputs.
func (j *Job) mendAll(id ID) *Ring {
	n := &j.nodes[id]
	for len(n.slots) < len(n.formula.Inputs) {
		if ring := j.mend(n.formula.Inputs[len(n.slots)], id); ring != nil {
			return ring
		}
		j.connect(id)
	}
	return nil
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
	forward, closed := j.forward(user, in, high)
	if closed {
		way := []ID{}
		for id := in; id != user; id = j.nodes[id].from {
			way = append(way, id)
		}
		return j.ring(append(way, user))
	}
	backward := j.backward(in, low)
	byPos := func(a, b ID) int { return j.nodes[a].pos - j.nodes[b].pos }
	slices.SortFunc(backward, byPos)
	slices.SortFunc(forward, byPos)
	moved := slices.Concat(backward, forward)
	places := make([]int, len(moved))
	for i, id := range moved {
		places[i] = j.nodes[id].pos
	}
	slices.Sort(places)
	for _, pos := range places {
		j.moves = append(j.moves, move{pos, j.order[pos]})
	}
	for i, id := range moved {
		j.nodes[id].pos = places[i]
		j.order[places[i]] = id
	}
	return nil
}

// forward gives the cells that rest on start and stand no further back than high; true where the goal is one of them.
func (j *Job) forward(start, goal ID, high int) ([]ID, bool) {
	out := j.begin(start)
	for k := 0; k < len(out); k++ {
		for _, u := range j.nodes[out[k]].users {
			n := &j.nodes[u.cell]
			if n.seen == j.search || n.pos > high {
				continue
			}
			n.seen, n.from = j.search, out[k]
			if u.cell == goal {
				return out, true
			}
			out = append(out, u.cell)
		}
	}
	return out, false
}

// backward gives the cells that start rests on and that stand no further in front than low.
func (j *Job) backward(start ID, low int) []ID {
	out := j.begin(start)
	for k := 0; k < len(out); k++ {
		for _, in := range j.nodes[out[k]].connected() {
			if n := &j.nodes[in]; n.seen != j.search && n.pos >= low {
				n.seen = j.search
				out = append(out, in)
			}
		}
	}
	return out
}

func (j *Job) begin(start ID) []ID {
	j.search++
	if j.search == 0 { // the counter came round: no old number may look like this one
		for i := range j.nodes {
			j.nodes[i].seen = 0
		}
		j.search = 1
	}
	j.nodes[start].seen = j.search
	return []ID{start}
}

// closeGaps closes the order up where half of it or more is gaps.
func (j *Job) closeGaps() {
	if j.gaps < bulk || j.gaps < len(j.order)/2 {
		return
	}
	kept := j.order[:0]
	for _, id := range j.order {
		if id >= 0 {
			j.nodes[id].pos = len(kept)
			kept = append(kept, id)
		}
	}
	j.order, j.gaps = kept, 0
}
