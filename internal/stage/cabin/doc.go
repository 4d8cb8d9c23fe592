// Package cabin answers whether a cabin is kept warm by the air a heater brings,
// how long it takes to warm up, and whether its windscreen stays clear.
//
// It works from the cabin's section of a duty and the heater's flow and outlet
// temperature; [Of] fills in the section, [State.Judge] and [State.Clear] are the
// entries. Everything is in SI units.
//
// The cabin is one lump of one temperature in a steady state or warming up; where
// in it the warm air goes is not followed.
package cabin
