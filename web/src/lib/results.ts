// The numbers of a stage for people: keys of plan.json end in their unit.

export interface Row {
  name: string;
  text: string;
}

interface Unit {
  metric: [string, number, number?]; // unit, factor, offset
  us?: [string, number, number?];
}

// SI to what a shop reads. The longest ending that fits counts.
const units: [string, Unit][] = [
  ["_kg_per_m2", { metric: ["g/m²", 1000], us: ["oz/yd²", 29.4935] }],
  ["_kg_per_m3", { metric: ["kg/m³", 1], us: ["lb/ft³", 0.062428] }],
  ["_kg_per_s", { metric: ["g/s", 1000], us: ["lb/min", 132.277] }],
  ["_J_per_mol", { metric: ["kJ/mol", 1e-3] }],
  ["_N_per_m", { metric: ["N/mm", 1e-3], us: ["lbf/in", 0.00571015] }],
  ["_per_m", { metric: ["1/m", 1] }],
  ["_degC", { metric: ["°C", 1], us: ["°F", 1.8, 32] }],
  ["_deg", { metric: ["°", 1] }],
  ["_kg", { metric: ["g", 1000], us: ["oz", 35.27396] }],
  ["_m2", { metric: ["m²", 1], us: ["ft²", 10.76391] }],
  ["_m3", { metric: ["ml", 1e6], us: ["fl oz", 33814.02] }],
  ["_Pa", { metric: ["kPa", 1e-3], us: ["psi", 1.450377e-4] }],
  ["_Hz", { metric: ["Hz", 1] }],
  ["_W", { metric: ["W", 1], us: ["BTU/h", 3.412142] }],
  ["_N", { metric: ["N", 1], us: ["lbf", 0.2248089] }],
  ["_K", { metric: ["K", 1], us: ["°F apart", 1.8] }],
  ["_m", { metric: ["mm", 1000], us: ["in", 39.37008] }],
  ["_s", { metric: ["s", 1] }],
];

export function number(x: number): string {
  if (x === 0) return "0";
  const size = Math.abs(x);
  if (size >= 1e6 || size < 1e-4) return x.toExponential(2);
  return String(Number(x.toPrecision(size >= 1000 ? 4 : 3)));
}

/** A time in the unit that suits it. */
export function time(s: number): string {
  const size = Math.abs(s);
  if (size >= 3 * 86400) return `${number(s / 86400)} d`;
  if (size >= 3 * 3600) return `${number(s / 3600)} h`;
  if (size >= 180) return `${number(s / 60)} min`;
  return `${number(s)} s`;
}

/** A key of plan.json with its value, in words. */
export function row(key: string, value: unknown, us: boolean): Row | null {
  if (typeof value === "string") return value ? { name: words(key), text: value } : null;
  if (typeof value === "boolean") return { name: words(key), text: value ? "yes" : "no" };
  if (typeof value !== "number") return null;
  const found = units.find(([ending]) => key.endsWith(ending));
  if (!found) return { name: words(key), text: number(value) };
  const [ending, unit] = found;
  const name = words(key.slice(0, -ending.length));
  if (ending === "_s") return { name, text: time(value) };
  const [shown, factor, offset = 0] = us && unit.us ? unit.us : unit.metric;
  return {
    name,
    text: `${number(value * factor + offset)} ${shown}`.replace(" °", "°").replace("°C", " °C").replace("°F", " °F"),
  };
}

const words = (key: string) => key.replaceAll("_", " ");

/** The plain numbers of a stage, one level of sections deep. */
export function rows(stage: unknown, us: boolean): Row[] {
  const out: Row[] = [];
  if (stage === null || typeof stage !== "object") return out;
  for (const [key, value] of Object.entries(stage)) {
    const one = row(key, value, us);
    if (one) out.push(one);
    else if (value !== null && typeof value === "object" && !Array.isArray(value)) {
      for (const [inner, v] of Object.entries(value)) {
        const r = row(inner, v, us);
        if (r) out.push({ name: `${words(key)}: ${r.name}`, text: r.text });
      }
    }
  }
  return out;
}

/** Lengths in metres, as a place or alone, in millimetres or inches. */
export function placeText(m: readonly number[], us: boolean): string {
  const list = m.map((x) => (us ? (x * 39.37008).toFixed(2) : (x * 1000).toFixed(1)));
  return (list.length > 1 ? `(${list.join(", ")})` : list[0]!) + (us ? " in" : " mm");
}
