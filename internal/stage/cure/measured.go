package cure

import (
	"fmt"
	"math"

	"go.yaml.in/yaml/v4"
	"laywright/internal/base/bind"
	"laywright/internal/base/fault"
	"laywright/internal/base/si"
)

// Moisture is the state that a glass transition was measured in.
type Moisture string

// The states.
const (
	Dry Moisture = "dry"
	Wet Moisture = "wet"
)

// Bind reads one of the states.
func (m *Moisture) Bind(b *bind.Binder, path string, n *yaml.Node) {
	if *m = Moisture(n.Value); *m != Dry && *m != Wet {
		b.Fail(path, n, "state is %q; write dry, or wet for a coupon that was soaked", n.Value)
	}
}

// Forms are the states' names.
func (Moisture) Forms() []any { return []any{string(Dry), string(Wet)} }

// MeasuredTg is a glass transition measured on a coupon that was cured with the part.
type MeasuredTg struct {
	Value si.Temperature `yaml:"value" least:"253.15" most:"623.15"`
	State Moisture       `yaml:"state"`
}

// wetTg is the moist glass transition that the service limit rests on: as measured,
// else as forecast.
func wetTg(in Input, forecast si.Temperature) (tg si.Temperature, measured bool) {
	m := in.Spec.MeasuredTg
	switch {
	case m == nil:
		return forecast - si.Temperature(in.WetDrop), false
	case m.State == Wet:
		return m.Value, true
	}
	return m.Value - si.Temperature(in.WetDrop), true
}

// basis says what the service limit rests on.
func basis(in Input, r *Result) string {
	m := in.Spec.MeasuredTg
	switch {
	case m == nil:
		return fmt.Sprintf("Dry %.0f degC after this cure, less %.0f K when moist", r.Tg.Celsius(), float64(in.WetDrop))
	case m.State == Wet:
		return fmt.Sprintf("Measured moist at %.0f degC", m.Value.Celsius())
	}
	return fmt.Sprintf("Measured dry at %.0f degC, less %.0f K when moist", m.Value.Celsius(), float64(in.WetDrop))
}

// unmeasured asks for a measured glass transition where something hangs on it.
func unmeasured(in Input, r *Result) fault.Finding {
	if !in.Matters || in.TgMeasured || in.Spec.MeasuredTg != nil {
		return fault.Finding{}
	}
	return fault.Finding{Severity: fault.Caution, Code: "tg-not-measured",
		What: fmt.Sprintf("The glass transition of %.0f degC is a forecast, and the job says that a failure has consequences.", r.Tg.Celsius()),
		Why:  "A wrong mix, a cold corner or a probe in the wrong place lowers it by tens of kelvins, and the part looks the same.",
		Do:   "Cure a coupon with the part, have its glass transition measured before the part flies, and write it down as cure.measured_tg: {value, state}."}
}

// apart is the difference between forecast and measurement, K, past which they do
// not speak of the same cure: methods alone differ by 5 to 15 K (from memory).
const apart = 15

// disagrees tells of a measurement that the forecast does not bear out.
func disagrees(in Input, r *Result) fault.Finding {
	m := in.Spec.MeasuredTg
	if m == nil {
		return fault.Finding{}
	}
	wet, _ := wetTg(in, r.Tg)
	dry := float64(wet) + float64(in.WetDrop)
	if math.Abs(dry-float64(r.Tg)) <= apart {
		return fault.Finding{}
	}
	f := fault.Finding{Severity: fault.Caution, Code: "tg-differs",
		What: "The glass transition measured is far from the forecast.",
		Why:  "Methods of measuring differ by 5 to 15 K; more means that the part cured otherwise, the mix was off, or the resin's record is.",
		Do:   "The service limit here rests on what was measured. Find the reason before the next part: probes, mix, record."}
	return f.Against(celsius(dry), r.Tg.Celsius(), "degC")
}
