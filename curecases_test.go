package laywright

import (
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// Every case of the collected check values for resin, pressing and cure stands in
// one package's testdata/cases.json, is named by the tests that cureCases says, and
// these name no other.
func TestEveryCureCaseIsRun(t *testing.T) {
	count := 0
	for pkg, cases := range cureCases {
		count += len(cases)
		dir := filepath.Join("internal", pkg)
		held := casesIn(t, dir)
		for _, name := range laminateCases[pkg] {
			delete(held, name)
		}
		got := testsNaming(t, dir, held)
		for name, tests := range cases {
			if !held[name] {
				t.Errorf("%s/testdata/cases.json lacks %s", dir, name)
			} else if tests == "" || got[name] != tests {
				t.Errorf("%s: %s is run by %q, cureCases says %q", dir, name, got[name], tests)
			}
			delete(held, name)
		}
		for name := range held {
			t.Errorf("%s/testdata/cases.json has %s, which cureCases does not list", dir, name)
		}
	}
	const collected = 65
	if count != collected {
		t.Errorf("%d cases, want all %d of the collection", count, collected)
	}
}

// testsNaming returns for each case the tests of a package that have its name in
// their text, in order of the alphabet.
func testsNaming(t *testing.T, dir string, cases map[string]bool) map[string]string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "*_test.go"))
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]map[string]bool{}
	for _, file := range files {
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range parsed.Decls {
			f, ok := d.(*ast.FuncDecl)
			if !ok || !strings.HasPrefix(f.Name.Name, "Test") {
				continue
			}
			ast.Inspect(f, func(n ast.Node) bool {
				if x, ok := n.(*ast.BasicLit); ok && x.Kind == token.STRING {
					if name, err := strconv.Unquote(x.Value); err == nil && cases[name] {
						if found[name] == nil {
							found[name] = map[string]bool{}
						}
						found[name][f.Name.Name] = true
					}
				}
				return true
			})
		}
	}
	out := map[string]string{}
	for name, tests := range found {
		out[name] = strings.Join(slices.Sorted(maps.Keys(tests)), " ")
	}
	return out
}

// cureCases lists those cases by the package that holds them, each with its tests.
var cureCases = map[string]map[string]string{
	"base/air": {
		"dewpoint_magnus":  "TestDewPoints",
		"abs_humidity":     "TestWaterInAir",
		"heat_h_estimates": "TestPlateInOven",
	},
	"base/resin": {
		"kin_nth_order_analytic":         "TestNthOrderClosedForm",
		"kin_kamal_m1n1_analytic_t600":   "TestAutocatalyticClosedForm",
		"kin_kamal_m1n1_analytic_t1800":  "TestAutocatalyticClosedForm",
		"kin_kamal_m1n1_analytic_t3600":  "TestAutocatalyticClosedForm",
		"kin_horie_gel_integral_r0_0.02": "TestReducedTimeClosedForm",
		"kin_horie_gel_integral_r0_0.1":  "TestReducedTimeClosedForm",
		"kin_horie_gel_integral_r0_0.5":  "TestReducedTimeClosedForm",
		"kin_rule_halving_per_10C":       "TestRateDoublesPerTenKelvin",
		"kin_factor_10C_E50_55_60":       "TestRateDoublesPerTenKelvin",
		"tg_dibenedetto":                 "TestGlassTransition",
		"tg_dibenedetto_inverse":         "TestGlassTransition",
		"cure_surrogate_Tg_programs":     "TestGlassTransitionAfterPrograms",
		"calib_potlife_vs_film_pair":     "TestPairOfTimesGivesRatio",
		"cup_lumped_m0.1_UA0.11_T25":     "TestCups",
		"cup_lumped_m0.1_UA0_T25":        "TestCups",
		"cup_lumped_m0.1_UA0.11_T35":     "TestCups",
		"cup_film_gel_to_pot_life_map":   "TestPotLifeMap",
		"visc_arrhenius_55":              "TestViscosity",
		"visc_doubling_time":             "TestDoubledViscosityIsAPotLife TestViscosity",
		"postcure_ramp_margin":           "TestTransitionAheadOfRamp",
		"kin_3501-6_isothermal_400K":     "TestPrepregHolds TestPrepregRate",
		"kin_3501-6_isothermal_425K":     "TestPrepregHolds",
		"kin_3501-6_isothermal_450K":     "TestPrepregHolds",
		"kin_3501-6_rate":                "TestPrepregRate",
		"gel_flory_diepoxide_amine":      "TestGelPoint",
		"gel_flory_off_ratio":            "TestGelPoint",
		"gel_carothers":                  "TestGelPoint",
		"cup_adiabatic_rise":             "TestAdiabaticRise",
		"heat_from_equivalents_IPDA":     "TestHeatOfMix",
		"heat_from_equivalents_TETA":     "TestHeatOfMix",
		"heat_from_equivalents_D230":     "TestHeatOfMix",
		"visc_3501-6":                    "TestPrepregFlows",
		"visc_arrhenius_two_point":       "TestViscosityAtTwoTemperatures",
		"stoich_eew_blend":               "TestEquivalents",
		"stoich_DETA":                    "TestEquivalents",
		"stoich_table_EEW190":            "TestEquivalents",
		"mix_error_effect":               "TestHardenerOff",
	},
	"stage/bag": {
		"consol_terzaghi":                    "TestPressingIsSecondOrder TestSettlingOfTerzaghi",
		"consol_terzaghi_profile":            "TestProfileOfTerzaghi",
		"consol_kozeny":                      "TestPermeabilityCase",
		"consol_woven_20x200gsm_mu0.8_85kPa": "TestPressingOfWovenCloth",
		"consol_woven_6x200gsm_mu5_85kPa":    "TestPressingOfWovenCloth",
		"consol_woven_6x200gsm_mu0.8_50kPa":  "TestPressingOfWovenCloth",
		"consol_gutowski_fibre_bed":          "TestAlignedFibres",
		"bleed_capacity_from_thickness":      "TestFeltHolds",
		"leak_rate":                          "TestLeakFlow",
		"void_kardos_pmin":                   "TestMoistureCase",
		"void_boyle":                         "TestBubbleGrows",
		"isa_pressure":                       "TestVacuumAtHeight",
	},
	"stage/cure": {
		"heat_semi_infinite_convective":  "TestDeepBody",
		"heat_slab_exact":                "TestSlabSecondOrder TestSlabSeries",
		"heat_wet_laminate_on_mdf_2mm":   "TestThickWetLaminateIsStopped TestWetLaminateOnBoard",
		"heat_wet_laminate_on_mdf_6mm":   "TestEnergyBalance TestOvenEnergyBalance TestSlabOrderInTime TestStackAgainstRadauAndBDF TestWetLaminateOnBoard",
		"heat_wet_laminate_on_mdf_12mm":  "TestThickWetLaminateIsStopped TestWetLaminateOnBoard",
		"cup_1d_slab_27mm":               "TestDeepResin",
		"cup_frank_kamenetskii_critical": "TestCriticalBodies TestRunsOffWhereFrankKamenetskiiSays",
	},
	"stage/cure/oven": {
		"oven_heatup": "TestHeatUpCase",
	},
	"stage/joint": {
		"springin_radford": "TestSpringInOfCure",
	},
	"stage/laminate": {
		"vf_from_mass_ratio":           "TestMassRatiosOfTheTrade",
		"thickness_from_vf":            "TestMassRatiosOfTheTrade",
		"homebuilder_confidence_layup": "TestMassRatiosOfTheTrade",
	},
	"stage/wetout": {
		"mix_ratio_mass_from_volume": "TestMixByVolume",
	},
}
