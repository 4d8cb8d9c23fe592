// Package mouldbook draws how the mould of a plan is built: the book that lies on the
// bench (what is wanted, the order of gluing, boards, sheets, stations, templates and
// gauges) and the full-size pieces to saw. It is drawn from a finished plan and works
// nothing out but where lines and words stand.
//
// On full-size pieces lengths are in millimetres; in the book they are in the job's
// units.
package mouldbook
