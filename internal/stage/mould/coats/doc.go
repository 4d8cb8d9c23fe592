// Package coats answers what it takes to make a carved or moulded face ready for
// cloth: filler, sealer, primer, wax and film in their order, how long each dries
// in the air that the shop has, how much of each is used up, which grits are sanded
// between, and how many hours of work that is for its class of shape.
//
// Base values hold at 20 °C and 50 % humidity and are common practice unless a
// record says otherwise; only how they change with the air is physics. SI units.
package coats
