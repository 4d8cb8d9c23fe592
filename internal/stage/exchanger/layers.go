package exchanger

// crossing is one pass of crossing streams in which neither mixes.
type crossing struct {
	units   float64 // UA over the heat capacity rate of the air in the core
	ratio   float64 // of that rate to the liquid's
	through float64 // share of the air that goes through the core, the rest leaks past
}

// cells is how many layers of liquid and columns of air a pass is cut into. Only
// the difference of two solutions with equal cells is used, so their error
// nearly cancels; ten leave 0.1 points of effectiveness at 4 transfer units.
const cells = 10

// weights says how a temperature hangs on the air's temperature before each
// pass; its first entry is what the liquid's inlet at 1 brings (the air comes
// in at 0, so it needs no entry of its own).
type weights [MostPasses]float64

// unmixed corrects the joined passes for the liquid that keeps its layers from
// one pass to the next instead of mixing between them: the layer that met the
// coldest air is colder when the air comes back. The air's direction through the
// depth turns round with every pass.
//
// It adds to the exact relation's temperatures what the layers change in a
// cell-by-cell solution (central differences in both directions), so the heat
// balance of every pass stays exact.
func unmixed(a Arrangement, passes []crossing, joined []ends) []ends {
	p := make([]float64, len(passes))
	for k, c := range passes {
		p[k] = c.through * c.alone()
	}
	whole := passes[0].ratio / passes[0].through
	mixed, layered := join(a, p, whole), chain(a, passes)
	out := make([]ends, len(joined))
	for k, e := range joined {
		m, l := mixed[k], layered[k]
		out[k] = ends{e.airIn + l.airIn - m.airIn, e.airOut + l.airOut - m.airOut,
			e.liquidIn + l.liquidIn - m.liquidIn, e.liquidOut + l.liquidOut - m.liquidOut}
		if k > 0 {
			out[k].airIn = out[k-1].airOut // equal but for rounding
		}
	}
	return out
}

// alone returns the air effectiveness of a single pass by cells.
func (c crossing) alone() float64 {
	var liquid [cells]weights
	for i := range liquid {
		liquid[i][0] = 1
	}
	return c.cross(&liquid, weights{}, false)[0]
}

// cross sends air of temperature in through the layers of liquid, changes them,
// and returns the air's mean outlet from the core. back: from the last layer on.
//
//	cell: q = α·(L − A)/(1 + α(1 + r)/2)    A += q    L −= r·q    α = units/cells
func (c crossing) cross(liquid *[cells]weights, in weights, back bool) weights {
	alpha := c.units / cells
	share := alpha / (1 + alpha*(1+c.ratio)/2)
	var sum weights
	for range cells {
		air := in
		for i := range cells {
			row := &liquid[i]
			if back {
				row = &liquid[cells-1-i]
			}
			for j := range air {
				q := share * (row[j] - air[j])
				air[j] += q
				row[j] -= c.ratio * q
			}
		}
		for j := range sum {
			sum[j] += air[j] / cells
		}
	}
	return sum
}

// chain solves all passes with the liquid in layers. It follows the liquid with
// the air's temperatures before the passes left open, then closes the chain.
func chain(a Arrangement, passes []crossing) []ends {
	n := len(passes)
	var liquid [cells]weights
	for i := range liquid {
		liquid[i][0] = 1
	}
	airOut, before, after := make([]weights, n), make([]weights, n), make([]weights, n)
	for step := range n {
		k := step
		if a == AcrossCounter {
			k = n - 1 - step
		}
		var in weights
		if k > 0 {
			in[k] = 1
		}
		before[k] = mean(&liquid)
		core := passes[k].cross(&liquid, in, k%2 == 1)
		for j := range core {
			airOut[k][j] = passes[k].through*core[j] + (1-passes[k].through)*in[j]
		}
		after[k] = mean(&liquid)
	}
	at := closeChain(airOut)
	out := make([]ends, n)
	for k := range out {
		in := 0.0
		if k > 0 {
			in = at[k]
		}
		out[k] = ends{in, airOut[k].of(at), before[k].of(at), after[k].of(at)}
	}
	return out
}

func mean(liquid *[cells]weights) (m weights) {
	for i := range liquid {
		for j := range m {
			m[j] += liquid[i][j] / cells
		}
	}
	return m
}

func (w weights) of(at weights) float64 {
	sum := 0.0
	for j := range w {
		sum += w[j] * at[j]
	}
	return sum
}

// closeChain finds the air's temperature before each pass, at[k] = out of pass
// k−1, by elimination. The weights of one outlet are positive and sum to at most
// 1, so no pivot vanishes.
func closeChain(airOut []weights) weights {
	n := len(airOut)
	var m [MostPasses][MostPasses + 1]float64 // (1 − W)·at = what the liquid brings
	for k := 1; k < n; k++ {
		for j := 1; j < n; j++ {
			m[k][j] = -airOut[k-1][j]
		}
		m[k][k]++
		m[k][n] = airOut[k-1][0]
	}
	for k := 1; k < n; k++ {
		for i := k + 1; i < n; i++ {
			f := m[i][k] / m[k][k]
			for j := k; j <= n; j++ {
				m[i][j] -= f * m[k][j]
			}
		}
	}
	at := weights{1}
	for k := n - 1; k > 0; k-- {
		at[k] = m[k][n]
		for j := k + 1; j < n; j++ {
			at[k] -= m[k][j] * at[j]
		}
		at[k] /= m[k][k]
	}
	return at
}
