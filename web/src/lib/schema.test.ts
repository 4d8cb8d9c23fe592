import { describe, expect, it } from "vitest";
import { at, choices, example, formOf, label, line, matching, typed, type Schema } from "./schema";

const root: Schema = {
  properties: {
    wetout: {
      properties: {
        cup_limit: { type: "string", examples: ["100 g"] },
        lost: { anyOf: [{ const: "auto" }, { anyOf: [{ type: "number" }, { type: "string" }] }] },
      },
    },
    part: { properties: { held: { properties: { edge: { enum: ["clamped", "pinned"] } } } } },
    stack: {
      anyOf: [
        { const: "auto" },
        { type: "array", items: { anyOf: [{ properties: { fabric: {} } }, { properties: { core: {} } }] } },
      ],
    },
  },
};

describe("schema", () => {
  it("finds a value's form by its path", () => {
    expect(example(at(root, "wetout.cup_limit"))).toBe("100 g");
    expect(choices(at(root, "part.held.edge"))).toEqual(["clamped", "pinned"]);
    expect(at(root, "part.nothing.edge")).toBeUndefined();
  });
  it("tells which form a value has", () => {
    const s = at(root, "stack")!;
    expect(formOf(matching(s, [])!)).toBe("list");
    expect(matching(s, "auto")!.const).toBe("auto");
    const item = matching(s, [])!.items!;
    expect(matching(item, { core: "x" })!.properties).toHaveProperty("core");
  });
  it("names keys", () => expect(label("cup_limit")).toBe("Cup limit"));
});

describe("lines of the job file", () => {
  it.each([
    [{ fabric: "carbon-twill-200", angle: "0 deg" }, '{fabric: carbon-twill-200, angle: "0 deg"}'],
    [["a", 1, true], "[a, 1, true]"],
    ["yes", '"yes"'],
    ["22 inHg", '"22 inHg"'],
    ["10", '"10"'],
    ["", '""'],
    [{ "odd key": null }, '{"odd key": null}'],
  ])("%j is %s", (value, want) => expect(line(value)).toBe(want));

  it("takes what was typed as the form has it", () => {
    expect(typed("0.45", { type: "number" })).toBe("0.45");
    expect(typed("0.45", { type: "string" })).toBe('"0.45"');
    expect(typed(" auto ", { const: "auto" })).toBe("auto");
    expect(typed('5" tape', { type: "string" })).toBe('"5\\" tape"');
    expect(typed("true", { type: "boolean" })).toBe("true");
  });
});
