package cli

import (
	"errors"
	"os"
	"path/filepath"
	"strconv"

	"laywright/internal/base/fault"
	"laywright/internal/stage/cure"
	"laywright/internal/stage/probes"
	"laywright/internal/store/tracefile"
)

// readTrace reads the logger's file that a job names.
func readTrace(t cure.Trace, dir string) (*probes.Log, error) {
	name := beside(dir, t.File)
	f, err := os.Open(name)
	if err != nil {
		return nil, &fault.Input{Field: "cure.trace", What: plainPathError(err).Error(), Do: "the file is looked for beside the job file"}
	}
	defer f.Close()
	read, err := tracefile.Read(f, tracefile.Asked{Temperature: t.Unit, Time: t.Time})
	if err != nil {
		return nil, traceFault(filepath.Base(name), err)
	}
	log := &probes.Log{File: filepath.Base(name), Times: read.Times, Read: read.Read, Doubts: read.Doubts}
	for _, c := range read.Channels {
		log.Channels = append(log.Channels, probes.Channel(c))
	}
	return log, nil
}

// traceFault places what is wrong with a log: probe.csv:14: "warm" is no number.
func traceFault(name string, err error) error {
	var e *tracefile.Error
	if !errors.As(err, &e) {
		return &fault.Input{Field: "cure.trace", What: plainPathError(err).Error()}
	}
	if e.Line > 0 {
		name += ":" + strconv.Itoa(e.Line)
	}
	return &fault.Input{Field: "cure.trace", What: name + ": " + e.What, Do: e.Do}
}
