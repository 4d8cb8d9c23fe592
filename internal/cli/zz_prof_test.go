package cli

import (
	"context"
	"fmt"
	"os"
	"testing"
	"time"

	"laywright/internal/job"
)

func TestZZProf(t *testing.T) {
	name := os.Getenv("PROFJOB")
	if name == "" {
		t.Skip()
	}
	src, _ := os.ReadFile(name)
	f, _ := job.Read(src)
	lib, _ := materials("")
	in, err := readInputs(f.Spec, name[:len(name)-len("/x")])
	in.Library = lib
	last, at := "", time.Now()
	in.Watch = func(s string) { fmt.Println(last, time.Since(at)); last, at = s, time.Now() }
	_, err = job.Make(context.Background(), f, in)
	fmt.Println(last, time.Since(at), err)
}
