package si

import "testing"

// Inch, pound and the Fahrenheit scale are defined: 25.4 mm, 0.453 592 37 kg, 9/5 and 32.
func TestSentence(t *testing.T) {
	for metric, us := range map[string]string{
		"Lap it 15 mm.":                       "Lap it 0.59 in.",
		"3 to 5 mm, or 2–4 mm; 20 × 30 mm":    "0.12 to 0.2 in, or 0.079–0.16 in; 0.79 × 1.2 in",
		"at (12, 0, 55) mm, 50 mm from there": "at (12, 0, 55) mm, 2 in from there",
		"below 120 °C, at −18 degC":           "below 248 °F, at −0.4 °F",
		"P01 m, 2.5 m, 3 min, 4 mW, 5 g/m":    "P01 m, 8.2 ft, 3 min, 4 mW, 5 g/m",
		"105 g/m² and 0.35 m² and 6.5 cm^2":   "3.1 oz/yd² and 3.8 ft² and 1 in²",
		"a rise of 12 K":                      "a rise of 22 °F",
		"67 kPa, 0 mm":                        "9.7 psi, 0 in",
		"no measure, 3 plies":                 "no measure, 3 plies",
	} {
		if got := Sentence(metric, US); got != us {
			t.Errorf("%q reads %q, not %q", metric, got, us)
		}
		if got := Sentence(metric, Metric); got != metric {
			t.Errorf("metric %q reads %q", metric, got)
		}
	}
}
