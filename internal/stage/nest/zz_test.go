package nest

import (
	"context"
	"fmt"
	"laywright/internal/base/si"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"
)

func TestZZ(t *testing.T) {
	sets := strings.Fields("swim shirts trousers shapes1")
	if s := os.Getenv("SETS"); s != "" {
		sets = strings.Fields(s)
	}
	sec := 5.0
	if s := os.Getenv("SEC"); s != "" {
		sec, _ = strconv.ParseFloat(s, 64)
	}
	seeds := 3
	if s := os.Getenv("SEEDS"); s != "" {
		seeds, _ = strconv.Atoi(s)
	}
	for _, n := range sets {
		sum := 0.0
		t0 := time.Now()
		out := ""
		for k := range seeds {
			r := published(t, n)
			r.Seed = uint64(k + 1)
			r.Search = si.Time(sec)
			l, err := Lay(context.Background(), Input{Rolls: []Roll{r}})
			if err != nil {
				t.Fatal(err)
			}
			sum += l.Rolls[0].Use
			out += fmt.Sprintf(" %.2f", 100*l.Rolls[0].Use)
		}
		fmt.Printf("ZZ %s mean %.2f (%s) %.1fs\n", n, 100*sum/float64(seeds), out, time.Since(t0).Seconds())
	}
}
