package bag

import (
	"testing"

	"laywright/internal/base/si"
)

// 22 inHg at 5000 ft: 84.31 kPa by the standard atmosphere's table, less 74.50
// kPa leaves 9.81 kPa, where steam tables (IAPWS-IF97, from memory) have water
// boil at 45.4 °C.
func TestVacuumOnAHill(t *testing.T) {
	r, err := Pack(Input{Spec: Spec{Vacuum: 22 * si.InchOfMercury}, Elevation: 1524})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "what a perfect pump reads", float64(r.Available), 84307, 1e-4)
	near(t, "absolute pressure", float64(r.Absolute), 9807, 1e-3)
	near(t, "share of it", r.Share, 74.50/84.31, 1e-3)
	near(t, "water's boiling point, °C", r.WaterBoils.Celsius(), 45.4, 0.005)
}
