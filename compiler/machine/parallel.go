package machine

import (
	"runtime"
	"sync"
)

// EachParallel runs work for every index on all cores. A panic in the work is
// raised in the caller.
func EachParallel(n int, work func(i int)) {
	next := make(chan int)
	var wait sync.WaitGroup
	var once sync.Once
	var raised any
	for range min(runtime.GOMAXPROCS(0), n) {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for i := range next {
				func() {
					defer func() {
						if p := recover(); p != nil {
							once.Do(func() { raised = p })
						}
					}()
					work(i)
				}()
			}
		}()
	}
	for i := range n {
		next <- i
	}
	close(next)
	wait.Wait()
	if raised != nil {
		panic(raised)
	}
}
