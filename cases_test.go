package laywright

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// laminateCases lists every case of the collected check values for laminates, walls and
// shells, by the package whose testdata/cases.json holds it.
var laminateCases = map[string][]string{
	"base/wall": strings.Fields(`lamina_Q_S_graphite_epoxy lamina_60deg_Qbar clt_kaw_4_2_0_30_m45
		clt_kaw_0_90_0_constants clt_cte_0_90_0 clt_hyer_0_90s clt_hyer_0_90s_bending clt_kaw_quasi_iso_0_60_m60
		fail_kaw_60deg_2S_m3S_4S fail_tsai_wu_coefficients_GE fail_lamina_GE_45_tension fail_lamina_GL_60_shear
		fpf_kaw_5_3_0_90_0_Nx beam_laminate_cantilever`),
	"stage/laminate": strings.Fields(`micro_kaw_glass_epoxy_Vf0.7 micro_density_kaw micro_chamis_AS_IMHS_psi
		micro_carbon_HS_Vf0.35 micro_carbon_HS_Vf0.45 micro_carbon_HS_Vf0.55
		micro_Eglass_Vf0.35 micro_Eglass_Vf0.45 micro_Eglass_Vf0.55
		ply_thickness_FAW Vf_at_50pct_resin_weight_glass Vf_at_50pct_resin_weight_carbon crimp_series_compliance
		measured_glass_fabric_resin33_48 measured_carbon_sheet_weighing measured_ply_thickness_light_vacuum
		measured_wet_layup_vs_vacuum_bag`),
	"stage/shell": strings.Fields(`plate_timoshenko_ss_uniform plate_timoshenko_clamped_uniform plate_circular_uniform
		plate_reddy_nondim_w plate_pagano_3d_exact plate_buckling_isotropic plate_frequency_isotropic
		shell_membrane_cylinder_dome shell_clamped_cylinder_Rao_Reddy_in shell_obstacle_course`),
	"stage/joint": strings.Fields(`springin_radford_rennick joint_volkersen_equal_al joint_volkersen_unequal
		joint_goland_reissner_k joint_hart_smith_double_lap joint_scarf_shear`),
}

// notYet gives the reason for which a package may still be without its cases.
var notYet = map[string]string{"stage/joint": "spring-in and bonded joints come with that package"}

// Every case stands in its package, and a test there names it or all that begin alike.
func TestEveryLaminateCaseIsRun(t *testing.T) {
	for pkg, names := range laminateCases {
		dir := filepath.Join("internal", pkg)
		if _, err := os.Stat(dir); err != nil && notYet[pkg] != "" {
			t.Logf("%s: %d cases wait: %s", pkg, len(names), notYet[pkg])
			continue
		}
		held, named := casesIn(t, dir), namesInTests(t, dir)
		for _, name := range names {
			if !held[name] {
				t.Errorf("%s/testdata/cases.json lacks %s", dir, name)
			}
			if !startsWithOneOf(name, named) {
				t.Errorf("no test of %s names %s", dir, name)
			}
			delete(held, name)
		}
		for name := range held {
			if _, ok := cureCases[pkg][name]; ok {
				continue
			}
			t.Errorf("%s/testdata/cases.json has %s, which laminateCases does not list", dir, name)
		}
	}
}

func casesIn(t *testing.T, dir string) map[string]bool {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, "testdata", "cases.json"))
	if err != nil {
		t.Error(err)
		return nil
	}
	var list []struct{ Name string }
	if err := json.Unmarshal(b, &list); err != nil {
		t.Error(err)
	}
	held := map[string]bool{}
	for _, c := range list {
		held[c.Name] = true
	}
	return held
}

// caseName is a case's name or the beginning of some in a test.
var caseName = regexp.MustCompile(`"([A-Za-z]+_[A-Za-z0-9_.]*)"`)

func namesInTests(t *testing.T, dir string) (names []string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "*_test.go"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		source, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range caseName.FindAllStringSubmatch(string(source), -1) {
			names = append(names, m[1])
		}
	}
	return names
}

func startsWithOneOf(name string, beginnings []string) bool {
	for _, b := range beginnings {
		if strings.HasPrefix(name, b) {
			return true
		}
	}
	return false
}
