import { expect, it } from "vitest";
import { hashOf, placeOf } from "./route";

it("comes back to the same place", () => {
  for (const p of [
    { job: "", step: "" },
    { job: "a~b c", step: "cure" },
    { job: "ünß%", step: "job" },
  ])
    expect(placeOf(hashOf(p))).toEqual(p);
});

it("takes what it does not know for the first page", () => {
  for (const h of ["", "#", "#/", "#/other/x", "#/job/"]) expect(placeOf(h).job).toBe("");
  expect(placeOf("#/job/x").step).toBe("duty");
  expect(placeOf("#/job/%E0%A4%A").job).toBe("%E0%A4%A");
});
