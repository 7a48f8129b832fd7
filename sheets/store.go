package sheets

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"time"

	"castwright/lang/check"
	"castwright/sheets/disk"
	"castwright/sheets/journal"
)

// store is a job on disk while it is edited: the texts as they stand there, the journal of what is not saved, and the lock
// that keeps a second shell from changing it.
type store struct {
	path     string // of the journal
	disk     map[string]string
	writer   *journal.Writer
	lock     *disk.Lock
	stamp    string   // sizes and times of the job's files when they were last compared
	outside  []string // what had changed then
	readOnly error    // why the job can be looked at and not changed
	waiting  bool     // the journal holds what was not saved, and nobody has said yet what becomes of it
	steps    int
}

// JournalPath is where the journal of a job stands: beside its sheet, or in its folder, by the job's name.
func JournalPath(path string) string {
	folder := folderOf(path)
	name := strings.TrimSuffix(filepath.Base(path), Extension)
	if whole, err := filepath.Abs(path); err == nil {
		name = strings.TrimSuffix(filepath.Base(whole), Extension)
	}
	return filepath.Join(folder, name+".journal")
}

// lockPath is the side file that is locked while a job is edited; it stays.
func lockPath(journal string) string {
	return filepath.Join(filepath.Dir(journal), "."+strings.TrimSuffix(filepath.Base(journal), ".journal")+".lock")
}

// Unsaved is what a journal holds that was not saved before the program ended.
type Unsaved struct {
	Edits  int
	Torn   bool // the last edit was not whole, and had not been confirmed
	Sheets []string
	texts  map[string]string
	path   string
}

// ErrJournal is told with a journal that cannot be taken up.
var ErrJournal = errors.New("its journal cannot be taken up")

// Edits opens a job for editing: it takes the lock, and looks for what was not saved. Where another program has the job
// open, or its folder cannot be written, the job can be looked at only; the error, which comes with no Unsaved, says why.
func (j *Job) Edits() (*Unsaved, error) {
	s := &store{path: JournalPath(j.Path), disk: j.Texts()}
	j.store = s
	lock, err := disk.Acquire(lockPath(s.path))
	if err != nil {
		s.readOnly = err
		return nil, err
	}
	s.lock = lock
	content, err := journal.Read(s.path)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil, nil
	case err != nil && content == nil:
		s.readOnly = err
		return nil, fmt.Errorf("%w: %w", ErrJournal, err)
	case content.Saved(s.disk) && err == nil:
		return nil, s.clear()
	}
	texts, replayErr := content.Replay(s.disk)
	if replayErr != nil {
		s.readOnly = replayErr
		return nil, fmt.Errorf("%w: %w", ErrJournal, replayErr)
	}
	u := &Unsaved{Torn: content.Torn || err != nil, texts: texts, path: s.path}
	edits := map[int]bool{}
	for _, e := range content.Entries {
		edits[e.Step] = true
	}
	u.Edits = len(edits)
	for name, text := range texts {
		if s.disk[name] != text {
			u.Sheets = append(u.Sheets, name)
		}
	}
	sort.Strings(u.Sheets)
	if u.Edits == 0 {
		return nil, s.clear()
	}
	s.waiting = true
	return u, nil
}

// Take takes up what was not saved: one step, which undo takes back.
func (j *Job) Take(u *Unsaved) (*Report, error) {
	was := j.state()
	now := &state{kept: was.kept}
	for name, text := range u.texts { // one that is not on disk any more is among them
		now.texts = append(now.texts, check.Text{Name: name, Text: text})
	}
	sort.Slice(now.texts, func(i, k int) bool { return now.texts[i].Name < now.texts[k].Name })
	waiting := j.store.waiting
	j.store.waiting = false
	r, err := j.become("what was not saved", now)
	if err != nil {
		j.store.waiting = waiting
	} else {
		j.done = append(j.done, step{label: r.Label, state: was})
	}
	return r, err
}

// Leave puts a journal that is not taken up aside, so that nothing in it is lost, and gives its new name.
func (j *Job) Leave(u *Unsaved) (string, error) {
	name, err := setAside(u.path)
	if err == nil && j.store != nil {
		j.store.waiting = false
	}
	return name, err
}

// SetAside puts a journal that cannot be taken up aside, and lets the job be edited.
func (j *Job) SetAside() (string, error) {
	name, err := setAside(j.store.path)
	if err == nil && j.store.lock != nil {
		j.store.readOnly = nil
	}
	return name, err
}

func setAside(path string) (string, error) {
	for i := 1; ; i++ {
		name := fmt.Sprintf("%s.kept-%d", path, i)
		if _, err := os.Lstat(name); !errors.Is(err, os.ErrNotExist) {
			continue
		}
		if err := os.Rename(path, name); err != nil {
			return "", fmt.Errorf("the journal %s cannot be put aside: %s", path, disk.Reason(err))
		}
		return name, disk.SyncFolder(filepath.Dir(path))
	}
}

// ReadOnly says why a job can be looked at and not changed; nil where it can be changed.
func (j *Job) ReadOnly() error {
	if j.store == nil {
		return nil
	}
	return j.store.readOnly
}

// write puts a step into the journal, synced, before it is confirmed.
func (s *store) write(splices []Splice) error {
	if s == nil || s.path == "" {
		return nil
	}
	if s.waiting {
		return refuse("The edit was not taken: the journal holds edits that were not saved. Take them up, or leave them, first.", "")
	}
	if s.writer == nil {
		w, err := journal.Create(s.path, s.bases())
		if err != nil {
			return refuse(fmt.Sprintf("The edit was not taken: %s.", strings.TrimSuffix(err.Error(), ".")), "")
		}
		s.writer = w
	}
	s.steps++
	var entries []journal.Entry
	for _, x := range splices {
		entries = append(entries, journal.Entry{Sheet: x.Sheet, At: x.At, Was: x.Was, Is: x.Is, Step: s.steps})
	}
	if err := s.writer.Append(entries...); err != nil {
		return refuse(fmt.Sprintf("The edit was not taken: %s.", strings.TrimSuffix(err.Error(), ".")), "")
	}
	return nil
}

func (s *store) bases() []journal.Base {
	var out []journal.Base
	for name, text := range s.disk {
		out = append(out, journal.Base{Sheet: name, Digest: journal.Digest(text)})
	}
	sort.Slice(out, func(i, k int) bool { return out[i].Sheet < out[k].Sheet })
	return out
}

// rebase begins the journal anew with all that differs from the disk as one step. On an error the old one stands as it was.
func (s *store) rebase(texts map[string]string) error {
	if s == nil || s.path == "" || s.readOnly != nil {
		return nil
	}
	if s.waiting {
		return errors.New("the journal holds edits that were not saved: take them up, or leave them, first")
	}
	var entries []journal.Entry
	for name, text := range texts {
		if was := s.disk[name]; was != text {
			x := difference(name, was, text)
			entries = append(entries, journal.Entry{Sheet: name, At: x.At, Was: x.Was, Is: x.Is, Step: s.steps + 1})
		}
	}
	sort.Slice(entries, func(i, k int) bool { return entries[i].Sheet < entries[k].Sheet })
	if len(entries) == 0 && s.writer == nil {
		return s.clear()
	}
	w, err := begin(s.path, s.bases(), entries)
	if err != nil {
		return err
	}
	if s.writer != nil {
		s.writer.Close() // of a file that another stands in the place of
	}
	s.writer = w
	s.steps++
	if len(entries) == 0 { // one without an edit says nothing, should it stay
		s.writer = nil
		w.Remove()
	}
	return nil
}

// begin makes a journal with one step, whole or not at all, in the place of another.
func begin(path string, bases []journal.Base, entries []journal.Entry) (*journal.Writer, error) {
	fresh := path + ".new"
	w, err := journal.Create(fresh, bases)
	if err != nil {
		return nil, err
	}
	if err = errors.Join(w.Append(entries...), w.Close()); err == nil {
		err = os.Rename(fresh, path)
	}
	if err != nil {
		os.Remove(fresh)
		return nil, fmt.Errorf("the journal %s cannot be written: %s", path, disk.Reason(err))
	}
	if err := disk.SyncFolder(filepath.Dir(path)); err != nil {
		return nil, err
	}
	w, _, err = journal.Open(path)
	return w, err
}

// difference is the one splice that makes a text of another.
func difference(name, was, is string) Splice {
	from := 0
	for from < len(was) && from < len(is) && was[from] == is[from] {
		from++
	}
	end := 0
	for end < len(was)-from && end < len(is)-from && was[len(was)-1-end] == is[len(is)-1-end] {
		end++
	}
	return Splice{name, from, was[from : len(was)-end], is[from : len(is)-end]}
}

// clear takes the journal away: all is saved.
func (s *store) clear() error {
	if s.writer != nil {
		w := s.writer
		s.writer = nil
		return w.Remove()
	}
	return journal.Remove(s.path)
}

// Dirty lists the sheets that are not on disk as they stand here.
func (j *Job) Dirty() []string {
	var out []string
	if j.store == nil {
		return nil
	}
	for name, text := range j.Texts() {
		if j.store.disk[name] != text {
			out = append(out, name)
		}
	}
	sort.Strings(out)
	return out
}

// Saved is what a save did to one sheet.
type Saved struct {
	Sheet          string
	Added, Removed int // lines
}

// Save puts the sheets that were edited on disk, all or none, and takes the journal away. A sheet that another program has
// changed meanwhile is not overwritten.
func (j *Job) Save() ([]Saved, error) {
	s := j.store
	switch {
	case s == nil || j.Path == "":
		return nil, errors.New("this job has no place on disk")
	case s.readOnly != nil:
		return nil, fmt.Errorf("this job can be looked at here and not changed: %w", s.readOnly)
	case s.waiting:
		return nil, errors.New("the journal holds edits that were not saved: take them up, or leave them, first")
	}
	texts := j.Texts()
	files := map[string][]byte{}
	var out []Saved
	for _, name := range j.Dirty() {
		path := j.SheetPath(name)
		now, err := os.ReadFile(path)
		if err == nil && string(now) != s.disk[name] {
			return nil, fmt.Errorf("%s was changed by another program since it was read, and was not saved over; reload takes that text, and undo brings yours back", path)
		}
		if err != nil && !errors.Is(err, os.ErrNotExist) {
			return nil, plain(path, err)
		}
		files[path] = []byte(texts[name])
		out = append(out, savedLines(name, s.disk[name], texts[name]))
	}
	if len(files) > 0 {
		if err := disk.ReplaceAll(files); err != nil {
			return nil, err
		}
	}
	maps.Copy(s.disk, texts) // a sheet that undo has taken out of the job still stands in the folder
	s.stamp = ""
	return out, s.clear()
}

// savedLines counts the lines that a save brings and takes away, wherever they stand.
func savedLines(name, was, is string) Saved {
	out := Saved{Sheet: name}
	lines := map[string]int{}
	for _, l := range strings.Split(was, "\n") {
		lines[l]++
	}
	for _, l := range strings.Split(is, "\n") {
		if lines[l]--; lines[l] < 0 {
			out.Added++
		}
	}
	for _, n := range lines {
		out.Removed += max(0, n)
	}
	return out
}

// Close gives the lock back. What is not saved stays in the journal.
func (j *Job) Close() error {
	if j.store == nil {
		return nil
	}
	var err error
	switch w := j.store.writer; {
	case w == nil:
	case len(j.Dirty()) == 0: // its edits were all taken back
		err = w.Remove()
	default:
		err = w.Close()
	}
	if j.store.lock != nil {
		err = errors.Join(err, j.store.lock.Release())
	}
	j.store = nil
	return err
}

// Discard throws away what is not saved.
func (j *Job) Discard() error {
	if j.store == nil || j.store.readOnly != nil {
		return nil
	}
	return j.store.clear()
}

// Outside lists what other programs have changed since it was read: sheets, and files that they read.
func (j *Job) Outside() []string {
	if j.store == nil || j.Path == "" {
		return nil
	}
	stamp, settled := j.stamp()
	if stamp == j.store.stamp {
		return j.store.outside
	}
	out := j.outside()
	sort.Strings(out)
	if j.store.stamp, j.store.outside = stamp, out; !settled {
		j.store.stamp = ""
	}
	return out
}

// grain is how old a file's time has to be to tell it from the next: the clocks of disks are coarse, of two seconds at
// worst (from memory, FAT).
const grain = 2 * time.Second

// stamp tells sizes and times of all files of the job, so that they are read again only where one of these has changed; and
// whether the times are old enough to tell a change to come.
func (j *Job) stamp() (string, bool) {
	var b strings.Builder
	settled := true
	note := func(path string) {
		info, err := os.Stat(path)
		if err != nil {
			fmt.Fprintf(&b, "%s gone;", path)
			return
		}
		fmt.Fprintf(&b, "%s %d %d;", path, info.Size(), info.ModTime().UnixNano())
		settled = settled && time.Since(info.ModTime()) > grain
	}
	names := []string{j.Path}
	if j.IsFolder() {
		names, _ = list(j.Path)
	}
	var read []string
	for name := range j.files.kept {
		read = append(read, filepath.Join(j.files.folder, filepath.FromSlash(name)))
	}
	sort.Strings(read)
	for _, path := range append(names, read...) {
		note(path)
	}
	return b.String(), settled
}

func (j *Job) outside() []string {
	out := j.files.changed()
	texts, err := readTexts(j.Path)
	if err != nil {
		return append(out, filepath.Base(j.Path))
	}
	now := map[string]string{}
	for _, t := range texts {
		now[t.Name] = t.Text
		if was, ok := j.store.disk[t.Name]; !ok || was != t.Text {
			out = append(out, t.Name+Extension)
		}
	}
	for name := range j.store.disk {
		if _, ok := now[name]; !ok {
			out = append(out, name+Extension)
		}
	}
	return out
}

// Reload takes what other programs have changed, as one step that undo reverses. Edits of sheets that were not changed
// outside stay.
func (j *Job) Reload() (*Report, error) {
	texts, err := readTexts(j.Path)
	if err != nil {
		return nil, err
	}
	was := j.state()
	mine := j.Texts()
	now := &state{kept: map[string]*kept{}}
	onDisk := map[string]string{}
	for _, t := range texts {
		onDisk[t.Name] = t.Text
		if j.store != nil && j.store.disk[t.Name] == t.Text {
			if text, ok := mine[t.Name]; ok {
				t.Text = text
			}
		}
		now.texts = append(now.texts, t)
	}
	var known map[string]string
	if j.store != nil {
		known = j.store.disk
		j.store.disk, j.store.stamp = onDisk, ""
	}
	r, err := j.become("reload", now)
	if err != nil {
		if j.store != nil {
			j.store.disk = known
		}
		return nil, err
	}
	j.done = append(j.done, step{label: "reload", state: was})
	j.undone = nil
	return r, nil
}
