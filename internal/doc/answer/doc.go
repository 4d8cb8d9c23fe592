// Package answer writes what a plan says to one question as a screen of text: the
// answer, how it was worked out with the numbers put in and their sources, what
// was taken, and what to mind. It computes nothing that a stage does not: it
// reads the plan. At most 24 lines of 80 characters.
package answer
