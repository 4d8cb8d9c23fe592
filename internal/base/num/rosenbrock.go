package num

// stages is how many increments a step of [Solver] takes.
const stages = 6

// gamma is γ of the method, for which it is L-stable.
const gamma = 0.25

// The method's numbers in the form that spares products with J: where in the step
// a stage looks (α), how the increments before it enter its state (a) and its right
// side (c), and how much of the drift ∂f/∂t it takes (d).
//
// Source: [steinebach1995].
var (
	stageTime  = [stages]float64{0, 0.75, 0.21, 0.63, 1, 1}
	stageDrift = [stages]float64{0.25, -0.5, -0.023504, -0.0362, 0, 0}
	stageState = [stages][stages]float64{
		{},
		{3},
		{1.831036793486759, 0.4955183967433795},
		{2.304376582692669, -0.05249275245743001, -1.176798761832782},
		{-7.170454962423024, -4.741636671481785, -16.31002631330971, -1.062004044111401},
		{-7.170454962423024, -4.741636671481785, -16.31002631330971, -1.062004044111401, 1},
	}
	stageCouple = [stages][stages]float64{
		{},
		{-12},
		{-8.791795173947035, -2.207865586973518},
		{10.81793056857153, 6.780270611428266, 19.53485944642410},
		{34.19095006749676, 15.49671153725963, 54.74760875964130, 14.16005392148534},
		{34.62605830930532, 15.30084976114473, 56.99955578662667, 18.40807009793095, -5.714285714285717},
	}
	// The two curvatures of the state within a step, of order 3.
	denseFirst  = [stages]float64{25.09876703708589, 11.62013104361867, 28.49148307714626, -5.664021568594133, 0, 0}
	denseSecond = [stages]float64{1.638054557396973, -0.7373619806678748, 8.477918219238990, 15.99253148779520, -1.882352941176471, 0}
)

// gather adds Σ weightⱼ·kⱼ to sum.
func gather(sum, weight []float64, k [][]float64) {
	for j, w := range weight {
		for i, v := range k[j] {
			sum[i] += w * v
		}
	}
}
