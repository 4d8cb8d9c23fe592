// Package ducting answers what pressure the air loses in a chain of ducts that
// may part into branches, and how the flow shares itself out among them.
//
// It works from the pieces of duct as a person lists them, the mass flow and the
// air's density and temperature; [Lay] checks the pieces, [Chain.Loss] is the
// entry. Everything is in SI units. Losses are of total pressure, the last
// velocity head among them.
//
// It takes the air as of one density along the chain, each piece as long enough
// that its neighbours don't disturb it, and the walls as adiabatic.
package ducting
