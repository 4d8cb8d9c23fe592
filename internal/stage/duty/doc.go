// Package duty answers what the part must do before anything is carved: the
// heat a box over a finned core gives the cabin and what pressure that takes,
// whether the cabin is kept warm by it, and the loads that the part must carry.
//
// It works from the duty section of a job and the records of the liquid and the
// fins; [Compute] is the entry. The core itself is package exchanger's, the ducts are
// ducting's, the cabin is cabin's, and what the part bears is that of loads.
//
// Everything is in SI units; pressures of air are absolute where they are called
// pressure, and differences where they are called loss, available or load.
//
// It does not know walls: how hot the laminate gets through its thickness and
// whether it holds is for later stages, which take the wall temperature and the
// load cases from here. It does not size an engine's cooling, and no figure here
// is an approval.
package duty
