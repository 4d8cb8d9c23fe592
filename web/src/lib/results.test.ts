import { describe, expect, it } from "vitest";
import { number, placeText, row, rows, time } from "./results";

// Factors from NIST SP 811 (2008), appendix B.
describe("numbers of a stage", () => {
  it.each([
    ["mass_kg", 0.4536, false, "454 g"],
    ["mass_kg", 0.45359237, true, "16 oz"],
    ["tg_degC", 100, true, "212 °F"],
    ["tg_degC", -40, true, "-40 °F"],
    ["absolute_Pa", 6894.757, true, "1 psi"],
    ["area_m2", 0.09290304, true, "1 ft²"],
    ["thickness_m", 0.0254, true, "1 in"],
    ["areal_mass_kg_per_m2", 0.033906, true, "1 oz/yd²"],
    ["shear_max_deg", 31.24, false, "31.2°"],
    ["lag_K", 5, true, "9 °F apart"],
    ["gel_s", 5400, false, "90 min"],
    ["total_s", 7 * 86400, false, "7 d"],
    ["degree_of_cure", 0.912, false, "0.912"],
  ])("%s %d", (key, value, us, want) => expect(row(key, value, us)?.text).toBe(want));

  it("leaves lists out and goes one section deep", () => {
    expect(rows({ a_m: 1, list: [1], inner: { b_kg: 0.001 } }, false)).toEqual([
      { name: "a", text: "1000 mm" },
      { name: "inner: b", text: "1 g" },
    ]);
    expect(rows(undefined, false)).toEqual([]);
  });
  it("writes places", () => {
    expect(placeText([0.0254, 0, -0.01], true)).toBe("(1.00, 0.00, -0.39) in");
    expect(placeText([0.01], false)).toBe("10.0 mm");
  });
  it("rounds", () => {
    expect(number(0)).toBe("0");
    expect(number(1234.5)).toBe("1235");
    expect(number(1e-7)).toBe("1.00e-7");
    expect(time(59)).toBe("59 s");
  });
});
