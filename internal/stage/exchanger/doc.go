// Package exchanger answers how much heat a finned core takes from a liquid
// into air that separators send through its face in one or more passes, and
// what pressure that costs the air.
//
// It works from a core known by geometry, by measured points or by a rating,
// a liquid at its inlet, and an air flow at its inlet: effectiveness and number
// of transfer units for each pass, passes joined with the air mixed between
// them and the liquid in its layers, properties at each pass's own mean
// temperature. [Heater.At] is the entry; [NewSurface], [NewTested] and [NewRated]
// make its core.
//
// Everything is in SI units. Air passes count from the air's inlet, from 0.
// Liquid stands for oil or coolant on the inside of the tubes.
//
// It does not know ducts, blowers, cabins or the box around the core: those are
// package duty's. It takes the flow over each pass as even, the walls of the box
// as adiabatic, the air as dry, and holds for a steady state.
package exchanger
