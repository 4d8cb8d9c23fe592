package job

import (
	"context"
	"os"
	"testing"

	"laywright/internal/stage/bag"
	"laywright/internal/stage/cure"
	"laywright/internal/stage/wetout"
	"laywright/internal/store/catalogue"
)

// BenchmarkProcess works out wet-out, bag and cure of the demo job, its mould and
// plies made before.
func BenchmarkProcess(b *testing.B) {
	source, err := os.ReadFile("../../examples/dunlin-demist-box/dunlin-demist-box.job.yaml")
	if err != nil {
		b.Fatal(err)
	}
	f, problems := Read(source)
	if len(problems) > 0 {
		b.Fatal(problems)
	}
	library, err := catalogue.Library()
	if err != nil {
		b.Fatal(err)
	}
	in := Inputs{Library: library}
	p, err := Make(context.Background(), f, in)
	if err != nil {
		b.Fatal(err)
	}
	l := link{spec: p.Spec, records: p.records, inputs: in, plan: &p}
	run := &runner{ctx: context.Background(), plan: &p}
	for b.Loop() {
		l.hardens = &hardening{} // the data sheet is fitted anew
		if p.Wetout, err = with(run, "wetout", wetout.Weigh)(l.wetout); err != nil {
			b.Fatal(err)
		}
		if p.Bag, err = with(run, "bag", bag.Pack)(l.bag); err != nil {
			b.Fatal(err)
		}
		if p.Cure, err = within(run, "cure", cure.Simulate)(l.cure); err != nil {
			b.Fatal(err)
		}
	}
}
