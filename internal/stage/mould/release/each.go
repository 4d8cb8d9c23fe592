package release

import (
	"runtime"
	"sync"
)

// each calls work for every number below n, on all cores. Each call may write only
// what belongs to its number, so that the order has no say in the result.
func each(n int, work func(i int)) {
	cores := runtime.GOMAXPROCS(0)
	block := max(1, min(256, n/(8*cores)))
	if cores < 2 || n <= cores {
		for i := range n {
			work(i)
		}
		return
	}
	blocks := make(chan int, (n+block-1)/block)
	for from := 0; from < n; from += block {
		blocks <- from
	}
	close(blocks)
	var wait sync.WaitGroup
	for range cores {
		wait.Go(func() {
			for from := range blocks {
				for i := from; i < min(n, from+block); i++ {
					work(i)
				}
			}
		})
	}
	wait.Wait()
}
