// Package joint answers what happens where a part is joined to what it sits on: how
// stiff a fastener is and what it asks of the laminate round its hole, what a bond
// line bears, how a corner closes as the laminate cures and cools, and whether a
// part swings in time with an engine.
//
// It holds formulas and the measuring of a surface's bends; it knows no load cases.
// Units are SI. Stresses are elastic ones unless a formula says otherwise.
//
// It does not know fatigue, clearance of holes, torque, or friction under a head.
package joint
