// Package loads answers what a part must carry: pressure of either sign, inertia, a
// hand, and how hot its wall gets, by the duty's own air and liquid and by an exhaust
// pipe that shines on it.
//
// It works from the loads section of a duty and what the rest of the duty can do to
// the part; [Of] is the entry. Everything is in SI units. Loads are limit loads.
//
// It does not know walls, nor whether they hold.
package loads
