// Command bench prints how well the nesting does on published sets as its
// search goes on, and beside it what a general packing library does in the
// same time. See README.md.
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"syscall"
	"time"

	"laywright/bench/sets"
	"laywright/internal/base/si"
	"laywright/internal/stage/nest"
)

// floor is the use in percent that a research program of the published method
// reached on two cores of the machine that this was built on.
var floor = map[string]map[float64]float64{
	"swim": {60: 75.0, 300: 75.9}, "shirts": {60: 86.8, 300: 89.1},
	"trousers": {60: 90.0, 300: 90.7}, "albano": {60: 87.7, 300: 88.3},
}

func main() {
	search := flag.Float64("search", 60, "seconds of search on each set")
	folder := flag.String("sets", ".", "folder of the published sets, NAME.json")
	seed := flag.Uint64("seed", 1, "of the search")
	program := flag.String("library", "", "the built library.cpp; empty: not compared")
	flag.Parse()
	if flag.NArg() == 0 {
		fmt.Fprintln(os.Stderr, "name the sets: swim shirts trousers albano, or 60L 60triangles 60C 400many")
		os.Exit(2)
	}
	for _, name := range flag.Args() {
		if err := one(name, *folder, *program, *search, *seed); err != nil {
			fmt.Fprintln(os.Stderr, name+":", err)
			os.Exit(1)
		}
	}
	fmt.Printf("most memory held: %d MB\n", usage().Maxrss/1024)
}

// one prints the line of one set.
func one(name, folder, program string, search float64, seed uint64) error {
	r, ours := sets.Own(name)
	if !ours {
		var err error
		if r, err = sets.Read(folder, name); err != nil {
			return err
		}
	}
	r.Search, r.Seed = si.Time(search), seed
	fmt.Printf("%-11s", name)
	use, err := course(r, program != "")
	if err != nil {
		return err
	}
	if f, known := floor[name][search]; known {
		fmt.Printf("  floor %.1f", f)
	}
	if program != "" {
		l, err := library(program, r)
		if err != nil {
			return err
		}
		fmt.Printf("  library %.2f (%d layouts, %.0f s)  difference %.2f", 100*l.use, l.tried, l.wall, 100*(use-l.use))
	}
	fmt.Println()
	return nil
}

// marks are the seconds of search at which the use is printed.
var marks = []float64{0, 2, 5, 10, 30, 60, 120, 300, 600}

// course searches and prints the use in percent as the work goes on, at the
// end, and the time it took. Where onTime, the search is ended when the seconds
// on the wall are over, whatever the work done.
func course(r nest.Roll, onTime bool) (float64, error) {
	start, cpu := time.Now(), cpuSeconds()
	next, use := 0, 0.0
	watch := func(p nest.Progress) bool {
		for ; next < len(marks) && marks[next] < float64(r.Search) && p.Done*float64(r.Search) >= marks[next]; next++ {
			fmt.Printf("  %gs %.2f", marks[next], 100*max(use, p.Use))
		}
		use = p.Use
		return !onTime || time.Since(start).Seconds() < float64(r.Search)
	}
	out, err := nest.Lay(context.Background(), nest.Input{Rolls: []nest.Roll{r}, Watch: watch})
	if err != nil {
		return 0, err
	}
	l := out.Rolls[0]
	fmt.Printf("  end %.2f  (%.0f s, processor %.0f s)", 100*l.Use, time.Since(start).Seconds(), cpuSeconds()-cpu)
	return l.Use, nil
}

func usage() (u syscall.Rusage) {
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &u) // can't fail for oneself
	return u
}

func cpuSeconds() float64 {
	u := usage()
	return time.Duration(u.Utime.Nano() + u.Stime.Nano()).Seconds()
}
