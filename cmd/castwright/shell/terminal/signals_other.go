//go:build !unix

package terminal

import (
	"os"
	"syscall"
)

var watchedSignals = []os.Signal{os.Interrupt, syscall.SIGTERM}

// endSignal is the signal that ends the program in good order.
const endSignal = syscall.SIGTERM

func isResize(os.Signal) bool   { return false }
func isContinue(os.Signal) bool { return false }

func raise(os.Signal) { os.Exit(1) }
