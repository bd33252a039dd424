package infer

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// fewest is how many items a worker should have to be worth its own memory.
const fewest = 4

// spread works on items 0 to n-1 on several processors, each with a state of
// its own. What work writes must belong to its item, so that the outcome does
// not depend on how many processors there are. A panic in it is raised in the
// caller.
func spread[S any](n int, state func() S, work func(s S, i int)) {
	workers := min(runtime.GOMAXPROCS(0), n/fewest)
	if workers < 2 {
		s := state()
		for i := range n {
			work(s, i)
		}
		return
	}
	var next atomic.Int64
	var all sync.WaitGroup
	failed := make([]any, workers)
	for w := range workers {
		all.Add(1)
		go func() {
			defer all.Done()
			defer func() { failed[w] = recover() }()
			s := state()
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				work(s, i)
			}
		}()
	}
	all.Wait()
	for _, f := range failed {
		if f != nil {
			panic(f)
		}
	}
}

// again is a stage for another worker: the same frame and readings, memory of
// its own.
func (s *stage) again() *stage {
	c := s.e.newStage(s.f, s.obs)
	c.rough, c.failed = s.rough, s.failed
	return c
}
