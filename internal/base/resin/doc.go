// Package resin holds the laws of a thermosetting resin: how fast it cures, how
// its glass transition and viscosity follow the cure, when it gels, and how warm
// a cup of it gets. It answers from a material record, which holds either the
// constants of a rate law or the few numbers of a data sheet.
//
// Temperatures are in kelvin, times in seconds, degree of cure runs from 0 to 1.
//
// It does not model side reactions at a wrong mixing ratio, moisture as a
// catalyst, or ageing of the hardener.
package resin
