package duty

import (
	"fmt"

	"laywright/internal/base/fault"
	"laywright/internal/base/si"
	"laywright/internal/stage/ducting"
)

// DuctSize is the heater with ducts of another size: the first has this bore, the
// others are wider or narrower in proportion.
type DuctSize struct {
	Bore    si.Length      `json:"bore_m"`
	AirFlow si.MassFlow    `json:"air_flow_kg_per_s"`
	AirOut  si.Temperature `json:"air_out_degC"`
	Heat    si.Power       `json:"heat_W"`
	Useful  *si.Power      `json:"useful_heat_W,omitempty"`
	Loss    si.Pressure    `json:"duct_loss_Pa"`
	Chosen  bool           `json:"chosen"` // the smallest that a wider one does not better by much
}

// Bores that hose is sold in go by halves of an inch, from one inch to six; common
// practice.
const (
	halfInch     = 12.7e-3 // m
	fewestHalves = 2
	mostHalves   = 12
)

// How far from the job's own size others are looked at.
const (
	narrowest = 0.65
	widestBy  = 1.7
)

// firstBore is what the sizes count by; 0 where the job has no round duct.
func (h Heater) firstBore() si.Length {
	for _, d := range h.Ducts {
		if b := max(d.Hose, d.Round); b > 0 {
			return b
		}
	}
	return 0
}

// sizes works the heater with ducts of the sizes that are sold, at n passes. nil
// where a flow is given, or no round duct.
func (p plant) sizes(h Heater, n int) (out []DuctSize, err error) {
	own := h.firstBore()
	if own == 0 || p.supply.flow > 0 {
		return nil, nil
	}
	var amounts []float64
	for k := fewestHalves; k <= mostHalves; k++ {
		by := halfInch * float64(k) / float64(own)
		if by < narrowest || by > widestBy {
			continue
		}
		q := p
		if err := q.lay(ducting.Scaled(h.Ducts, by), h.Wye.Scaled(by), h.Box.Port); err != nil {
			return nil, err
		}
		w, err := q.open(n)
		if err == nil && p.search {
			w, _, err = q.throttled(n, w)
		}
		if err != nil {
			break // a supply that still pushes at its end, or liquid cooled out of its table
		}
		out = append(out, DuctSize{Bore: own * si.Length(by), AirFlow: w.AirFlow, AirOut: w.AirOut, Heat: w.Heat, Useful: q.usefulOf(w), Loss: si.Pressure(w.duct)})
		amounts = append(amounts, q.measure(option{run: w}))
	}
	if len(out) > 0 {
		out[settled(amounts)].Chosen = true
	}
	return out, nil
}

// settled returns the first of the amounts that none behind it betters by a
// worthwhile share.
func settled(amounts []float64) int {
	for i, x := range amounts {
		most := x
		for _, y := range amounts[i:] {
			most = max(most, y)
		}
		if most <= x+worthwhile*max(x, 0) && x > 0 {
			return i
		}
	}
	return len(amounts) - 1
}

// sizeFindings says what a wider duct would bring.
func sizeFindings(h Heater, sizes []DuctSize, now float64, what string) []fault.Finding {
	own := h.firstBore()
	for _, s := range sizes {
		if !s.Chosen || s.Bore <= own*1.1 {
			continue
		}
		then := float64(s.Heat)
		if s.Useful != nil {
			then = float64(*s.Useful)
		}
		if then <= now*(1+worthwhile) {
			return nil
		}
		return []fault.Finding{finding(fault.Note, "duct-narrow", fmt.Sprintf("Wider ducts would bring %s %s.", percent(then, now, "more", "less"), what),
			fmt.Sprintf("of the pressure there is they take %.0f Pa at the flow they would let through; wider ones than %.0f mm bring little more", float64(s.Loss), 1000*float64(s.Bore)),
			"take ducts of this bore, the others in proportion").Against(1000*float64(own), 1000*float64(s.Bore), "mm")}
	}
	return nil
}
