package drape

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// portion is how many things of a long list are worked on in one go. It does not
// depend on the number of cores, so that no sum does.
const portion = 2048

// portions is the number of portions of n things.
func portions(n int) int { return (n + portion - 1) / portion }

// split calls do for each portion of n things, on all cores. What do writes must
// belong to its portion alone.
func split(n int, do func(part, from, to int)) {
	parts := portions(n)
	threads := min(runtime.GOMAXPROCS(0), parts)
	var next atomic.Int64
	work := func() {
		for {
			part := int(next.Add(1)) - 1
			if part >= parts {
				return
			}
			do(part, part*portion, min(n, (part+1)*portion))
		}
	}
	var wait sync.WaitGroup
	for range threads - 1 {
		wait.Go(work)
	}
	work()
	wait.Wait()
}

// sumOf adds up what do returns for each portion of n things, in their order.
func sumOf(n int, do func(from, to int) float64) float64 {
	parts := make([]float64, portions(n))
	split(n, func(part, from, to int) { parts[part] = do(from, to) })
	var sum float64
	for _, x := range parts {
		sum += x
	}
	return sum
}

// leastOf returns the least of what do returns for each portion of n things.
func leastOf(n int, do func(from, to int) float64) float64 {
	parts := make([]float64, portions(n))
	split(n, func(part, from, to int) { parts[part] = do(from, to) })
	least := parts[0]
	for _, x := range parts[1:] {
		least = min(least, x)
	}
	return least
}
