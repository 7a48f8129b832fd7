//go:build unix

package terminal

import (
	"os"
	"syscall"
)

var watchedSignals = []os.Signal{syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP, syscall.SIGWINCH, syscall.SIGCONT}

// endSignal is the signal that ends the program in good order.
const endSignal = syscall.SIGTERM

func isResize(s os.Signal) bool   { return s == syscall.SIGWINCH }
func isContinue(s os.Signal) bool { return s == syscall.SIGCONT }

func raise(s os.Signal) {
	number, ok := s.(syscall.Signal)
	if !ok || syscall.Kill(syscall.Getpid(), number) != nil {
		os.Exit(1)
	}
}
