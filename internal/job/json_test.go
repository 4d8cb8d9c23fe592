package job_test

import (
	"bytes"
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"testing"

	"laywright/internal/job"
)

func TestPlanJSON(t *testing.T) {
	for name, source := range map[string]string{"nothing": "laywright: 1\n", "kit": kit, "bagged": bagged, "plate": plate + plies,
		"heater": strings.Replace(heater, "soup", "glycol-50", 1)} {
		t.Run(name, func(t *testing.T) { checkJSON(t, mustMake(t, source)) })
	}
}

// unitEnd is how the key of a number ends that has a unit; pure lists those
// that have none. A number of neither kind is a slip, or belongs in the list.
var unitEnd = regexp.MustCompile(`_(m|m2|m3|kg|s|Pa|N|N_m|W|J|degC|deg|K|Hz|m_per_s|kg_per_s|kg_per_m2|kg_per_m3|N_per_m|W_per_K|W_per_m2|W_per_m2_K|J_per_mol|per_m|per_K|K_per_s|m3_per_s)$`)

var pure = strings.Fields(`
	NTU bleeder_plies boards coverage_share dowels needed doubled_in_three_max layers_max middle_locked_share places_tried seam seed_locked_share buckling_factor coats cost bleeder_full fraction_by_ply trapped_air_growth degree_of_cure effectiveness effectiveness_counterflow elements factor vitrify_degree_of_cure duty share_of_available
	failure_index_max matrix_retention mesh_error fibre_fraction inertia_g hardener_parts_by_volume index limit margin_min midplane_strain number nu12 nuxy
	off_angle_share passes people pleats ply pull quantity ratio reynolds seconds seed share surface_efficiency
	triangles unknowns use value drying_factor strain_max strain_limit layers pot order row gate_open throttled_gate_open humidity_of_cabin grit margin sheets then_sand repair_scarf plane through off_engine_order`) // seconds has its unit for a name, inertia_g counts accelerations of gravity, value and limit have theirs beside them

// whole are counts and choices under a key of their own parent: versions and the like.
var whole = strings.Fields(`versions.job versions.plan duty.alternatives.moving_parts cure.fit.readings.model cure.fit.readings.sheet cure.fit.readings.sheet_spread cure.fit.readings.model_low cure.fit.readings.model_high
	cure.fit.readings.residual cure.fit.readings.sheet_predicts cure.fit.taken.value cure.fit.taken.low cure.fit.taken.high cure.fit.shop.readings cure.fit.shop.rate_factor
	wetout.weigh_to.layer wetout.index_error stack_search.tried stack_search.rounds roll.rolls.blanks.pieces`)

// checkJSON walks a plan as it is written: no null, no number without a unit,
// and the same bytes when it is read and written again.
func checkJSON(t *testing.T, p job.Plan) {
	t.Helper()
	text := encoded(t, p)
	var v any
	read := json.NewDecoder(bytes.NewReader(text))
	read.UseNumber()
	if err := read.Decode(&v); err != nil {
		t.Fatal(err)
	}
	walkJSON(v, nil, func(path []string, leaf any) {
		at := strings.Join(path, ".")
		switch leaf.(type) {
		case nil:
			t.Errorf("%s is null", at)
		case json.Number:
			key := path[len(path)-1]
			if !unitEnd.MatchString(key) && !slices.Contains(pure, key) && !slices.Contains(whole, at) {
				t.Errorf("%s has no unit in its key", at)
			}
		}
	})
	if !sameAgain(t, text) {
		t.Error("plan.json is not the same when it is read and written again")
	}
}

func sameAgain(t *testing.T, text []byte) bool {
	t.Helper()
	var p job.Plan
	if err := json.Unmarshal(text, &p); err != nil {
		t.Fatal(err)
	}
	return bytes.Equal(encoded(t, p), text)
}

func walkJSON(v any, path []string, visit func([]string, any)) {
	switch x := v.(type) {
	case map[string]any:
		for key, item := range x {
			walkJSON(item, append(slices.Clone(path), key), visit)
		}
	case []any:
		for _, item := range x {
			walkJSON(item, path, visit)
		}
	default:
		visit(path, v)
	}
}
