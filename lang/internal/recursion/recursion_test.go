package recursion_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/internal/recursion"
)

func TestUnguarded(t *testing.T) {
	const guard = "func enter() bool { return true }\n"
	for _, c := range []struct {
		name, source string
		want         []string
	}{
		{"no ring", "func a() { b() }\nfunc b() {}", nil},
		{"a function that calls itself", "func a() { a() }", []string{"a -> a"}},
		{"a ring of three", "func a() { b() }\nfunc b() { c() }\nfunc c() { a() }", []string{"a -> b -> c -> a"}},
		{"a ring with a guard in it", "func a() { b() }\nfunc b() { if enter() { a() } }", nil},
		{"a guard beside the ring", "func a() { a() }\nfunc b() { enter(); a() }", []string{"a -> a"}},
		{"one ring guarded, one not", "func a() { enter(); b() }\nfunc b() { a(); c() }\nfunc c() { b() }", []string{"b -> c -> b"}},
		{"methods", "type t struct{}\nfunc (x t) a() { x.b() }\nfunc (x t) b() { x.a() }", []string{"t.a -> t.b -> t.a"}},
		{"in a closure", "func a() { f := func() { a() }; f() }", []string{"a -> a"}},
		{"with type arguments", "func a[T any]() { a[int]() }", []string{"a -> a"}},
		{"one of two methods without the guard", "type t struct{}\ntype u struct{}\nfunc (x t) a() { enter(); x.a() }\nfunc (x u) a() { x.a() }", []string{"u.a -> u.a"}},
		{"methods of one name on two types", "type t struct{ u u }\ntype u struct{}\nfunc (x t) a() { x.u.a() }\nfunc (x u) a() {}", nil},
		{"by way of an interface", "type i interface{ a() }\ntype t struct{ next i }\nfunc (x t) a() { x.next.a() }", []string{"t.a -> t.a"}},
		{"passed on as a value", "func run(f func()) { f() }\nfunc a() { run(a) }", []string{"a -> a"}},
		{"beside an import that is not followed", "func a() { strings.Repeat(\"x\", 2); a() }", []string{"a -> a"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(dir, "x.go"), []byte("package x\n"+guard+c.source+"\n"), 0o600))
			got, err := recursion.Unguarded(dir, "enter")
			require.NoError(t, err)
			assert.Equal(t, c.want, got)
		})
	}
}

func TestUnguardedNeedsItsGuard(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "x.go"), []byte("package x\nfunc a() {}\n"), 0o600))
	_, err := recursion.Unguarded(dir, "enter")
	assert.ErrorContains(t, err, "enter")
}
