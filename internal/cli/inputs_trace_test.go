package cli

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"laywright/internal/base/resin"
	"laywright/internal/base/si"
	"laywright/internal/stage/cure"
)

// twoDays writes a log of 48 h at 1 min.
func twoDays(b *testing.B, channels int) string {
	var text strings.Builder
	text.WriteString("time (min)")
	for c := range channels {
		fmt.Fprintf(&text, ",TC%d (degC)", c+1)
	}
	for i := range 2880 {
		t := 60 * float64(i)
		fmt.Fprintf(&text, "\n%d", i)
		for c := range channels {
			fmt.Fprintf(&text, ",%.1f", 22+38*(1-math.Exp(-t/9000))+3*math.Sin(t/2500)-2*float64(c)+0.2*math.Sin(1e4*t))
		}
	}
	name := filepath.Join(b.TempDir(), "probe.csv")
	if err := os.WriteFile(name, []byte(text.String()), 0o600); err != nil {
		b.Fatal(err)
	}
	return name
}

// Reading, cleaning and the cure at each probe.
func BenchmarkTwoDayLog(b *testing.B) {
	law := resin.Law{Kinetics: resin.Kinetics{A1: 1.2e3, E1: 58e3, A2: 2.0e5, E2: 60e3, M: 0.6, N: 1.6},
		Heat: 450e3, Gel: 0.55, Firm: 5, Density: 1150, Cp: 1900, K: 0.2,
		Glass: resin.Glass{Start: si.Celsius(-40), Full: si.Celsius(95), Lambda: 0.4}}
	for _, channels := range []int{1, 3} {
		name := twoDays(b, channels)
		b.Run(fmt.Sprintf("probes=%d", channels), func(b *testing.B) {
			for b.Loop() {
				log, err := readTrace(cure.Trace{File: name}, "")
				if err != nil {
					b.Fatal(err)
				}
				if _, err := cure.Simulate(context.Background(), cure.Input{Law: law, Log: log, Shop: si.Celsius(22)}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
