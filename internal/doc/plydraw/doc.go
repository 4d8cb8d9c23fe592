// Package plydraw draws the plies of a finished plan: each kind of ply on the
// mould with its shear and its threads, the order in which it is worked down,
// its flat pieces, the seams of all plies together, and how thick the wall
// comes out. It is given a plan and works out nothing but where lines fall on
// paper.
//
// Plies that lie alike are one kind and have one picture. A picture of a
// surface that hides a part of itself is two views, from two opposite sides. The
// numbers that a picture shows stand in its table as well.
//
// Threads are drawn as what they are: full lines run along the warp, fine ones
// along the weft, every so many millimetres of flat cloth. Where the two no
// longer cross at right angles the cloth is sheared, and the colour says by how
// much.
//
// Pictures are in millimetres of paper, as [draw] has them; the plan is in
// metres. Numbers for people are in the job's units.
package plydraw
