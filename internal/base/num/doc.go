// Package num holds the small numerics that stages share: a bracketed root, a
// minimum of one variable, banded linear systems, stiff ordinary differential
// equations and interpolation.
//
// All numbers are bare float64 in whatever unit the caller holds. A search that
// does not converge is an error and never a number. The package does not choose
// tolerances: the caller passes them.
package num
