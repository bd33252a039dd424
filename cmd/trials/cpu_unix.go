//go:build unix

package main

import "syscall"

// processor is the processor seconds that this process has used.
func processor() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	of := func(t syscall.Timeval) float64 { return float64(t.Sec) + float64(t.Usec)/1e6 }
	return of(u.Utime) + of(u.Stime)
}
