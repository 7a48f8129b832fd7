package xlsx

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"fmt"
	"maps"
	"slices"
	"strings"

	"castwright/lang/check"
	"castwright/sheets"
	"castwright/sheets/xlsx/read"
)

// Ours is what a workbook that we wrote says of itself.
type Ours struct {
	Texts   []check.Text      // of a full export: the sheets
	Files   map[string]string // and the files that they read
	Handout string            // of a handout: its name
	book    *read.Workbook
	job     *carried
	out     *carriedHandout
	names   bool // known by its defined names alone: another program has dropped the part that says more
}

// Recognise tells whether a workbook is one that we wrote; nil where it is not.
func Recognise(w *read.Workbook) (*Ours, error) {
	for _, name := range slices.Sorted(maps.Keys(w.Parts)) {
		part := w.Parts[name]
		switch {
		case bytes.Contains(part, []byte("urn:castwright:job:1")):
			c := &carried{}
			if err := xml.Unmarshal(part, c); err != nil {
				return nil, fmt.Errorf("what this workbook says of its job cannot be read: %w", err)
			}
			o := &Ours{book: w, job: c}
			for _, s := range c.Sheets {
				text, err := base64.StdEncoding.DecodeString(s.Text)
				if err != nil {
					return nil, fmt.Errorf("the text of the sheet %s in this workbook is damaged", s.Name)
				}
				o.Texts = append(o.Texts, check.Text{Name: s.Name, Text: string(text)})
			}
			o.Files = map[string]string{}
			for _, f := range c.Files {
				text, err := base64.StdEncoding.DecodeString(f.Text)
				if err != nil {
					return nil, fmt.Errorf("the file %s in this workbook is damaged", f.Name)
				}
				o.Files[f.Name] = string(text)
			}
			return o, nil
		case bytes.Contains(part, []byte("urn:castwright:handout:1")):
			c := &carriedHandout{}
			if err := xml.Unmarshal(part, c); err != nil {
				return nil, fmt.Errorf("what this workbook says of its handout cannot be read: %w", err)
			}
			return &Ours{book: w, out: c, Handout: c.Name}, nil
		}
	}
	for _, n := range w.Names {
		switch {
		case n.Name == jobName:
			return &Ours{book: w, names: true}, nil
		case strings.HasPrefix(n.Name, "handout_"):
			return &Ours{book: w, Handout: strings.TrimPrefix(n.Name, "handout_"), names: true}, nil
		}
	}
	return nil, nil
}

// Change is one value that came back: what it was, and what it is; Do plans it.
type Change struct {
	Path, Was, Is string
	Do            func() (*sheets.Plan, error)

	table string // of a place in a row: the table
}

// Left is what was changed in a workbook and is not taken.
type Left struct{ Place, Why string }

// Back is what a workbook brings back to its job.
type Back struct {
	Changes []Change
	Left    []Left
	Notice  string // how far the comparison can be trusted; nothing where all is known
}

// Refusal is a change that the job refused after all.
type Refusal struct {
	Change Change
	Err    error
}

// Take has the changes carried out, each as a step. Those to the rows of one table are one step, since each step reads
// its table anew; where that is refused they are carried out one by one.
func (b *Back) Take(do func(*sheets.Plan) error) (taken int, refused []Refusal) {
	take := func(changes []Change) error {
		p, err := joined(changes)
		if err == nil {
			err = do(p)
		}
		if err == nil {
			taken += len(changes)
		}
		return err
	}
	for _, step := range b.steps() {
		err := take(step)
		for i := 0; err != nil && i < len(step); i++ {
			why := err
			if len(step) > 1 {
				why = take(step[i : i+1])
			}
			if why != nil {
				refused = append(refused, Refusal{step[i], why})
			}
		}
	}
	return taken, refused
}

// steps puts the changes of each table together, in the place of the first of them.
func (b *Back) steps() [][]Change {
	var out [][]Change
	at := map[string]int{}
	for _, c := range b.Changes {
		i, ok := at[c.table]
		if ok && c.table != "" {
			out[i] = append(out[i], c)
			continue
		}
		at[c.table] = len(out)
		out = append(out, []Change{c})
	}
	return out
}

// joined plans changes as one step.
func joined(changes []Change) (*sheets.Plan, error) {
	p, err := changes[0].Do()
	if err != nil || len(changes) == 1 {
		return p, err
	}
	all := &sheets.Plan{Label: changes[0].table, Splices: p.Splices}
	for _, c := range changes[1:] {
		if p, err = c.Do(); err != nil {
			return nil, err
		}
		all.Splices = append(all.Splices, p.Splices...)
	}
	return all, nil
}

// Back compares a workbook that we wrote with its job: inputs and open cells that were filled in are changes; values of
// another kind, and what was changed where nothing was to be changed, are left and told. A cell is known by its name beside
// it, not by its place alone: rows may have been put in above it.
func (o *Ours) Back(j *sheets.Job) (*Back, error) {
	if o.names {
		if err := o.byNames(j); err != nil {
			return nil, err
		}
	}
	r := &returned{o: o, j: j, b: &Back{}, seen: map[*read.Sheet]bool{}}
	if o.names {
		r.b.Notice = "Another program dropped what this workbook said of its job; it is compared with the job as it is now."
	}
	if o.out != nil {
		return r.b, r.handout()
	}
	r.then = o.then(j)
	for _, p := range o.pages() {
		r.page(p)
	}
	r.strangers()
	r.recomputed()
	return r.b, nil
}

// byNames finds out from the job, and from the defined names of the workbook, what its own part would have said.
func (o *Ours) byNames(j *sheets.Job) error {
	at := o.refers()
	if o.Handout != "" {
		return o.handoutByNames(j, at)
	}
	e := newExporter(j)
	for _, s := range j.Sheets {
		e.plan(s)
	}
	o.job = &carried{}
	for _, p := range e.pages {
		if err := e.fill(p); err != nil {
			return err
		}
		for _, k := range e.carriedOn(p) {
			sheet, ref, rows, ok := whereIs(at[cellName(k.Path)])
			if ok {
				k.Sheet, k.Ref, k.Rows = sheet, ref, rows
				o.job.Cells = append(o.job.Cells, k)
			}
		}
	}
	return nil
}

func (o *Ours) handoutByNames(j *sheets.Job, at map[string]string) error {
	for _, h := range j.Handouts() {
		if handoutName(h.Name) != "handout_"+o.Handout {
			continue
		}
		g, err := j.Give(h)
		if err != nil {
			return err
		}
		now := &handout{e: newExporter(j), g: g}
		now.lay()
		o.out = &carriedHandout{Name: h.Name}
		for _, c := range now.carried.Cells {
			if sheet, ref, _, ok := whereIs(at[openName(c)]); ok {
				c.Sheet, c.Ref = sheet, ref
				o.out.Cells = append(o.out.Cells, c)
			}
		}
		return nil
	}
	return fmt.Errorf("this workbook is the handout %s, and the job has none of that name", o.Handout)
}

// refers gives what the defined names of the workbook refer to.
func (o *Ours) refers() map[string]string {
	at := make(map[string]string, len(o.book.Names))
	for _, n := range o.book.Names {
		at[n.Name] = n.Refers
	}
	return at
}

// whereIs parts what a defined name refers to: 'Bench'!$B$5, or a range of one column.
func whereIs(refers string) (sheet, ref string, rows int, ok bool) {
	i := strings.LastIndexByte(refers, '!')
	if i < 0 {
		return "", "", 0, false
	}
	sheet = strings.ReplaceAll(strings.Trim(refers[:i], "'"), "''", "'")
	from, to, isRange := strings.Cut(strings.ReplaceAll(refers[i+1:], "$", ""), ":")
	_, first, ok := read.ParseRef(from)
	if isRange {
		_, last, found := read.ParseRef(to)
		rows, ok = last-first+1, ok && found && last >= first
	}
	return sheet, from, rows, ok
}

func (o *Ours) sheet(name string) *read.Sheet {
	for _, s := range o.book.Sheets {
		if s.Name == name {
			return s
		}
	}
	return nil
}
