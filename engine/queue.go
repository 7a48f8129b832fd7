package engine

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
