// Package relay answers what the cut pieces of cloth cover when they are put back
// on the mould: how much of the part, how wide the laps are, where the edges
// come, how many layers lie where, and how thick they are. It needs the part's
// surface and, for each ply, the pieces as they are cut with the flat places of
// the ground that each was drawn from.
//
// It knows nothing of how an outline was drawn. A flat point inside a flat
// triangle belongs to the same place of that triangle on the mould. Cloth counts
// only where it hangs together with the body of its piece once that is cut along
// its outline, holes and knife lines: what a cut parts from the body falls away,
// and where the flat overlaps itself one side only has the cloth. Cloth beyond a
// seam goes on over the uncut surface along the straightest line, in the
// direction and the length that the triangle at the rim gives; beyond the part's
// rim it is off the mould.
//
// Lengths are metres, areas m². Widths of laps are measured on the mould, at a
// right angle to the seam. A layer is as thick as the flat ply times its flat area
// over the area that it covers; where yarns neither stretch nor slip that is
// 1/cos of the shear.
//
// It does not drape cloth or draw pieces, and takes cut-outs to be cut out of the
// part later: cloth over them is not looked at.
package relay
