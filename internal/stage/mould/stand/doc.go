// Package stand answers whether a mould stands the cure: what a solid body or a
// skin over a hollow bears under the air's push when it is warm, how fast air
// leaks through its boards, how much it grows against the part, and how long heat
// takes into it.
//
// SI units; temperatures are absolute, pressures are differences unless the name
// says otherwise. Values of materials come in from their records. It judges
// nothing: what is enough is for the stage and the job to say.
package stand
