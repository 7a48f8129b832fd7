// Package recursion finds functions that can call themselves without a guard. A text can make a reader recurse as deep
// as it nests, and a stack that overflows ends the program: so every way round must pass a function that counts the
// depth. The rule is kept by a test, not by memory.
package recursion

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"os"
	"path/filepath"
	"sort"
	"strings"
)

// Unguarded reads the Go files of a folder, tests apart, builds the static graph of calls between its functions and
// methods, and gives every ring of calls in which no function calls the guard, as "a -> b -> a". A function that is
// named without being called, to be passed on, counts as called; a call of an interface's method counts as a call of
// every method of that name in the folder. Calls into the folder by way of other packages are not seen.
func Unguarded(dir, guard string) ([]string, error) {
	g, err := read(dir, guard)
	if err != nil {
		return nil, err
	}
	return g.rings(), nil
}

// graph holds, for each function, the functions of the folder that it uses. Functions that call the guard are left
// out: a ring through one is bounded.
type graph map[string]map[string]bool

func read(dir, guard string) (graph, error) {
	files, info, err := check(dir)
	if err != nil {
		return nil, err
	}
	bodies := map[*types.Func]*ast.BlockStmt{}
	methods := map[string][]*types.Func{}
	for _, f := range files {
		for _, d := range f.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok || fn.Body == nil {
				continue
			}
			obj, ok := info.Defs[fn.Name].(*types.Func)
			if !ok {
				continue
			}
			bodies[obj] = fn.Body
			if fn.Recv != nil {
				methods[fn.Name.Name] = append(methods[fn.Name.Name], obj)
			}
		}
	}
	g, guards := graph{}, 0
	for obj, body := range bodies {
		if obj.Name() == guard {
			guards++
			continue
		}
		used, guarded := uses(body, info, methods, guard)
		if !guarded {
			g[name(obj)] = used
		}
	}
	if guards == 0 {
		return nil, fmt.Errorf("%s has no function %s to guard the depth", dir, guard)
	}
	return g, nil
}

// check parses and type-checks a folder by itself: imports are not followed, and what is wrong without them does not
// matter, since only calls inside the folder count.
func check(dir string) ([]*ast.File, *types.Info, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, nil, err
	}
	var files []*ast.File
	set := token.NewFileSet()
	for _, e := range entries {
		if !strings.HasSuffix(e.Name(), ".go") || strings.HasSuffix(e.Name(), "_test.go") {
			continue
		}
		f, err := parser.ParseFile(set, filepath.Join(dir, e.Name()), nil, parser.SkipObjectResolution)
		if err != nil {
			return nil, nil, err
		}
		files = append(files, f)
	}
	info := &types.Info{Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{}}
	config := types.Config{Error: func(error) {}, Importer: alone{}}
	_, _ = config.Check(dir, set, files, info) // errors come from the imports that are left out
	return files, info, nil
}

// alone imports nothing.
type alone struct{}

func (alone) Import(path string) (*types.Package, error) {
	return nil, fmt.Errorf("%s is not followed", path)
}

// uses lists the functions of the folder that a body names, closures in it included, and tells whether the guard is one.
func uses(body ast.Node, info *types.Info, methods map[string][]*types.Func, guard string) (map[string]bool, bool) {
	out, guarded := map[string]bool{}, false
	ast.Inspect(body, func(n ast.Node) bool {
		id, ok := n.(*ast.Ident)
		if !ok {
			return true
		}
		obj, ok := info.Uses[id].(*types.Func)
		if !ok {
			return true
		}
		obj = obj.Origin()
		guarded = guarded || obj.Name() == guard
		if recv := obj.Signature().Recv(); recv != nil && types.IsInterface(recv.Type()) {
			for _, m := range methods[obj.Name()] {
				out[name(m)] = true
			}
			return true
		}
		out[name(obj)] = true
		return true
	})
	return out, guarded
}

// name gives a function's name, with its receiver's type where it is a method.
func name(f *types.Func) string {
	recv := f.Signature().Recv()
	if recv == nil {
		return f.Name()
	}
	t := recv.Type()
	if p, ok := t.(*types.Pointer); ok {
		t = p.Elem()
	}
	if n, ok := t.(*types.Named); ok {
		return n.Obj().Name() + "." + f.Name()
	}
	return f.Name()
}

// rings gives one ring of calls for each function that can reach itself, each ring once.
func (g graph) rings() []string {
	var names []string
	for n := range g {
		names = append(names, n)
	}
	sort.Strings(names)
	var out []string
	told := map[string]bool{}
	for _, n := range names {
		ring := g.ring(n)
		if ring == nil {
			continue
		}
		seen := false
		for _, m := range ring {
			seen = seen || told[m]
		}
		for _, m := range ring {
			told[m] = true
		}
		if !seen {
			out = append(out, strings.Join(append(ring, n), " -> "))
		}
	}
	return out
}

// ring finds a shortest way from a function back to itself.
func (g graph) ring(start string) []string {
	from := map[string]string{}
	queue := []string{start}
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		var next []string
		for c := range g[at] {
			if _, known := g[c]; known {
				next = append(next, c)
			}
		}
		sort.Strings(next)
		for _, c := range next {
			if c == start {
				ring := []string{at}
				for at != start {
					at = from[at]
					ring = append([]string{at}, ring...)
				}
				return ring
			}
			if _, seen := from[c]; !seen {
				from[c] = at
				queue = append(queue, c)
			}
		}
	}
	return nil
}
