package groundtest

import (
	"context"
	"errors"
	"testing"
	"time"

	"laywright/internal/base/mesh/shapes"
	"laywright/internal/stage/plies"
)

// Each surface of the corpus gives a result that is sane, or a refusal that says
// what to do; never a panic, a hang or a number that is none.
func TestGround(t *testing.T) {
	for _, s := range shapes.Corpus() {
		if slow[s.Name] && !*long {
			continue
		}
		t.Run(s.Name, func(t *testing.T) {
			m, fit := cleaned(t, s.Make())
			r, err := lay(t, hang, input(t, m))
			switch {
			case err != nil && !actable(err):
				t.Errorf("refused without saying what to do: %v", err)
			case err != nil && s.Ask == shapes.Mould:
				t.Errorf("refused: %v", err)
			case err != nil:
			case s.Ask == shapes.NoGround && fit:
				t.Error("laid, though no sheet can")
			default:
				for _, c := range sane(m, r, limitOf(input(t, m))) {
					t.Error(c)
				}
			}
		})
	}
}

// A surface that was not cleaned, with wrong turns, loose triangles and corners
// in common that nothing joins, does no harm either.
func TestUncleaned(t *testing.T) {
	few := shapes.UsualFlaws
	few.Spikes, few.Holes, few.Slivers, few.Torn = 1, 1, 5, 0.02
	for _, m := range []struct {
		name string
		in   func() error
	}{
		{"scan", func() error { _, err := lay(t, hang, input(t, shapes.Scan(5, 400, few))); return err }},
		{"moebius", func() error { _, err := lay(t, hang, input(t, shapes.Moebius(0.1, 0.04, 40, 4))); return err }},
	} {
		if err := m.in(); err != nil && !actable(err) {
			t.Errorf("%s: refused without saying what to do: %v", m.name, err)
		}
	}
}

// A person who has had enough need not wait.
func TestCancel(t *testing.T) {
	m := named(t, "sieve")
	after := 200 * time.Millisecond
	if *long {
		m, after = named(t, "scan"), time.Second
	}
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	ended := make(chan error, 1)
	go func() {
		_, err := plies.Lay(ctx, input(t, m))
		ended <- err
	}()
	select {
	case err := <-ended:
		t.Skipf("done before it could be cancelled: %v", err)
	case <-time.After(after):
	}
	cancel()
	asked := time.Now()
	select {
	case err := <-ended:
		if !errors.Is(err, context.Canceled) {
			t.Errorf("cancelled, and the error is %v", err)
		}
		t.Logf("returned %v after it was cancelled", time.Since(asked).Round(time.Millisecond))
	case <-time.After(hang):
		t.Error("goes on though cancelled")
	}
}
