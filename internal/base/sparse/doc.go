// Package sparse solves large symmetric positive definite systems of which few
// entries are not 0, as stiffness on a mesh gives them, and finds their lowest
// modes.
//
// Nodes are put in order by halving them in space, and eliminated in dense fronts,
// several side by side. All numbers are bare float64. The answer is the same, bit
// for bit, on any number of cores and with or without vector instructions.
package sparse
