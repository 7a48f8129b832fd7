package terminal

import (
	"os"
	"os/signal"
	"sync"
)

// running holds a channel for each command that runs and wants to know of Ctrl-C. Where a Terminal is open, it alone
// looks at the signal, and treats it as the key: it would otherwise see the signal after the command has stopped over
// it, and throw away the next line too.
var running struct {
	sync.Mutex
	commands  map[chan os.Signal]bool
	terminals int
}

// Interrupts has f called at each Ctrl-C, be it the key or the signal, instead of ending the program, until stop is
// called. It is for the time while a command runs: f says to the command that it shall stop. f runs in a goroutine of
// its own, one call after the other.
func Interrupts(f func()) (stop func()) {
	told := make(chan os.Signal, 1)
	done := make(chan struct{})
	running.Lock()
	if running.commands == nil {
		running.commands = make(map[chan os.Signal]bool)
	}
	running.commands[told] = true
	if running.terminals == 0 {
		signal.Notify(told, os.Interrupt)
	}
	running.Unlock()
	go callWhenTold(f, told, done)

	var once sync.Once
	return func() {
		once.Do(func() {
			signal.Stop(told)
			running.Lock()
			delete(running.commands, told)
			running.Unlock()
			close(done)
		})
	}
}

func callWhenTold(f func(), told <-chan os.Signal, done <-chan struct{}) {
	for {
		select {
		case <-done:
			return
		case <-told:
		}
		select {
		case <-done: // too late: the command is over
			return
		default:
			f()
		}
	}
}

// countTerminals keeps count of the terminals that look at the signal.
func countTerminals(change int) {
	running.Lock()
	defer running.Unlock()
	running.terminals += change
}

// interruptCommands tells the commands that run, and says whether there were any.
func interruptCommands() bool {
	running.Lock()
	defer running.Unlock()
	for told := range running.commands {
		select {
		case told <- os.Interrupt:
		default: // it was told already and has not looked yet
		}
	}
	return len(running.commands) > 0
}
