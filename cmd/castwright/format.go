package main

import (
	"fmt"
	"os"
	"path/filepath"

	"castwright/lang/syntax"
)

// format writes the canonical layout of the sheets of a job.
func (p *program) format(args []string) int {
	args, write := option(args, "--write")
	if f, ok := unknownFlag(args); ok {
		return p.misused("format", fmt.Sprintf("There is no option %s.", f))
	}
	if len(args) != 1 {
		return p.misused("format", "One job is wanted.")
	}
	j, ok := p.open(args[0])
	if !ok {
		return usage
	}
	for _, s := range j.Sheets {
		laid := syntax.Format(s.File)
		switch {
		case !write:
			fmt.Fprint(p.out, laid)
		case laid == s.File.Source.Text:
			fmt.Fprintf(p.out, "%s is laid out already.\n", s.Path)
		default:
			if err := replace(s.Path, laid); err != nil {
				fmt.Fprintf(p.err, "%s was not changed: %v.\n", s.Path, err)
				return usage
			}
			fmt.Fprintf(p.out, "%s is laid out anew.\n", s.Path)
		}
	}
	return fine
}

// replace puts a new text in the place of a file: written beside it and synced, then renamed over it, so that the file
// is whole at every moment. A link is followed, the mode kept.
func replace(path, text string) error {
	target, err := filepath.EvalSymlinks(path)
	if err != nil {
		return err
	}
	info, err := os.Stat(target)
	if err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(target), ".castwright-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // gone already where the rename went well
	if _, err = f.WriteString(text); err == nil {
		err = f.Chmod(info.Mode().Perm())
	}
	if err == nil {
		err = f.Sync()
	}
	if e := f.Close(); err == nil {
		err = e
	}
	if err != nil {
		return err
	}
	return os.Rename(f.Name(), target)
}
