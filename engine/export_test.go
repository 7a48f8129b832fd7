package engine

// RunWarm runs the formula of a cell over a frame of floats; false where it cannot.
func (j *Job) RunWarm(id ID) bool {
	n := &j.nodes[id]
	if !n.plan.fast {
		return false
	}
	_, ok := j.runFast(n.plan, n)
	return ok
}
