// Package wetout answers how much resin and hardener to weigh, in how many pots
// and when, from the dry cloth, the resin ratio of each ply, what is lost on the
// way, and the resin's law of cure.
//
// SI units, temperatures in kelvin. Times count from the mixing of the first
// pot. Masses are those of the wet lay-up: resin that a bleeder takes out later
// is the bag stage's matter. How people divide the work is the bench stage's.
package wetout
