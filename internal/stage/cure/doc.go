// Package cure answers how the part hardens: when its resin gels, when it may
// come off the mould, how far it cures and how warm it gets, from the resin's
// law, a temperature schedule or a measured trace, and the layers from the mould
// to the bag.
//
// SI units, temperatures in kelvin. Times count from the mixing of the first
// pot; layers are listed from the back of the mould towards the bag.
//
// Heat moves through the thickness only: edges, thick spots and the oven's own
// warm and cold corners are not seen. The heater and the walls of the oven are
// not modelled, the air follows the schedule. Vacuum and flow are other stages'.
package cure
