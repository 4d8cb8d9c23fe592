// Package drape answers how a flat sheet lies on a surface: where in the flat
// sheet each point of the surface comes to lie, how far the yarns are sheared
// there and which way they run. It needs the surface as triangles, the seed
// where the sheet touches first, the direction of the warp there, and whether
// the sheet is woven or a film.
//
// # Woven cloth
//
// Two models agree where both hold, and each mends the other.
//
// The kinematic net ([Net]) lays yarns that neither stretch nor slip at their
// crossings. The two yarns through the seed, the generators, are laid first, as
// a laminator does: straight down from the seed along the warp and along the
// weft, so they are straightest lines of the surface. All else follows cell by
// cell. On every surface the shear is then
//
//	γ(u, v) = ∫ K dA  over the net's rectangle from the seed to (u, v)
//
// with K the Gaussian curvature. The net ends where its lines leave the surface
// and where it collapses (γ → 90°).
//
// The fabric energy covers the whole surface: the flat places of the mesh's own
// vertices make least the yarns' stretch, at full stiffness, and the shear, at
// very little up to locking and more beyond. The two generators stay on their
// lines. Where the net exists, and cloth is not locked, its places are the
// energy's least; where it does not (behind an opening that no net spans, at a
// corner that would collapse) the energy finds the cloth with the least stretch,
// and among such the least shear. Beyond 75° of shear yarns
// jam and push each other aside, so that no piece of cloth can vanish into a
// fold; what shear is shown there says that the cloth must be cut, not how it
// lies.
//
// The descent starts from the net and, beyond it, from what hangs out from it, on a
// large surface from how the cloth lies on a coarse copy.
// Triangles that lie turned over there are turned back at a falling price; if that
// fails, the sheet is unrolled from a circle. From then on no triangle turns over.
//
// Cloth that locks as the net has it is laid loose too: the descent starts from the sheet
// as it lies if it does not shear, and holds it to nothing but the generators. Behind a slit
// walls come to lie all but unsheared so, if the cloth gives a little round the tip.
//
// The net is that of the smooth surface that the triangles stand for: its lines turn
// within a triangle as the normals of its vertices do ([mesh.Rounding]), so that
// curvature is felt where it is and not only in the rows of vertices. Shear is the
// curvature added up over the net's cells and their halves, and the vertices lie in
// them where cubics
// through the nodes put them. Both are right to the second order in the size of
// triangles and cells. Where an edge that bends by more than 30° runs through the
// mould, normals tell nothing: there the net is that of the triangles, shear is what its
// own yarns show, and both hang on the mesh to the first order.
//
// A triangle is a coarse measure of bent yarns: of first order in its size. What
// it shows as stretch where the net has none is taken as its error and
// subtracted, and the vertices are held to where the net has them; elsewhere
// triangles are straightened by the yarns' bending. How cloth that is jammed or
// collapsed puckers, and how it lies behind such a place, does depend on the
// triangles: there the answer is that it must be cut.
//
// # Film
//
// A sheet that does not shear keeps its lengths in all directions as well as it
// can (as rigid as possible).
//
// Lengths are metres, angles radians. Flat coordinates are u along the warp and
// v to its left, seen from outside, from the seed. Shear is 90° less the angle
// from warp to weft: positive where they close. Warp and weft cross at a right
// angle at the seed.
//
// It does not cut slits, choose a seed, know friction, tension or bending, or
// find where cloth bridges a hollow.
package drape
