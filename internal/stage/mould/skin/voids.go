package skin

import "gonum.org/v1/gonum/spatial/r3"

// dropVoids takes off closed sheets that look inwards: nothing is laid in a void that
// solids and filler leave between them.
func (s *Skin) dropVoids() {
	seen := make([]bool, len(s.tri))
	for first := range s.tri {
		if seen[first] {
			continue
		}
		seen[first] = true
		sheet, closed, volume := []int32{int32(first)}, true, 0.0
		for i := 0; i < len(sheet); i++ {
			t := s.tri[sheet[i]]
			volume += r3.Dot(s.vector(t), r3.Sub(s.p[t[0]], s.p[s.tri[first][0]]))
			for k := range 3 {
				f0, f1 := s.faces(t[k], t[(k+1)%3])
				closed = closed && f1 >= 0
				for _, f := range [2]int32{f0, f1} {
					if f >= 0 && !seen[f] {
						seen[f] = true
						sheet = append(sheet, f)
					}
				}
			}
		}
		if closed && volume < 0 {
			for _, f := range sheet {
				s.removeTriangle(f)
			}
		}
	}
}
