// What the schema of the job file says about a value: which form it may have.

export interface Schema {
  type?: string;
  const?: string;
  enum?: unknown[];
  description?: string;
  examples?: unknown[];
  properties?: Record<string, Schema>;
  additionalProperties?: boolean | Schema;
  items?: Schema;
  anyOf?: Schema[];
}

export type Form = "words" | "number" | "switch" | "section" | "list" | "table";

/** All forms that a value may have, anyOf within anyOf taken apart. */
export function forms(s: Schema | undefined): Schema[] {
  if (!s) return [];
  return s.anyOf ? s.anyOf.flatMap(forms) : [s];
}

export function formOf(s: Schema): Form {
  if (s.properties) return "section";
  if (s.items || s.type === "array") return "list";
  if (s.type === "object") return "table";
  if (s.type === "boolean") return "switch";
  if (s.type === "number" || s.type === "integer") return "number";
  return "words";
}

/** The form of those allowed that a value has. */
export function matching(s: Schema | undefined, value: unknown): Schema | undefined {
  const all = forms(s);
  const pick = (f: (x: Schema) => boolean) => all.find(f);
  if (Array.isArray(value)) return pick((x) => formOf(x) === "list");
  if (value !== null && typeof value === "object") {
    const keys = Object.keys(value);
    const sections = all.filter((x) => x.properties);
    return (
      sections.find((x) => keys.every((k) => k in x.properties!)) ?? sections[0] ?? pick((x) => formOf(x) === "table")
    );
  }
  return pick((x) => !["section", "list", "table"].includes(formOf(x)));
}

/** The schema at a path such as "part.held". */
export function at(root: Schema, path: string): Schema | undefined {
  let s: Schema | undefined = root;
  for (const key of path.split(".")) s = forms(s).find((f) => f.properties?.[key])?.properties?.[key];
  return s;
}

/** Words that a value may be, and an example of how it is written. */
export function choices(s: Schema | undefined): string[] {
  return forms(s).flatMap((f) => (f.const !== undefined ? [f.const] : (f.enum ?? []).map(String)));
}

export function example(s: Schema | undefined): string {
  return (
    forms(s)
      .flatMap((f) => f.examples ?? [])
      .map(String)[0] ?? ""
  );
}

export function isQuantity(s: Schema | undefined): boolean {
  return forms(s).some((f) => (f.description ?? "").endsWith("a number, a space, a unit"));
}

/** A key as a person reads it. */
export function label(key: string): string {
  if (key === "wetout") return "Wet-out";
  const text = key.replaceAll("_", " ");
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** A value as one line of the job file. JSON is YAML; words stand bare where they may. */
export function line(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(line).join(", ")}]`;
  if (value !== null && typeof value === "object") {
    return `{${Object.entries(value)
      .map(([k, v]) => `${bare(k)}: ${line(v)}`)
      .join(", ")}}`;
  }
  return typeof value === "string" ? bare(value) : JSON.stringify(value);
}

const reserved = /^(true|false|null|yes|no|on|off|y|n|~|[-+.]?[0-9].*|[-+.](inf|nan))$/i;

function bare(text: string): string {
  return /^[A-Za-z_][A-Za-z0-9_-]*$/.test(text) && !reserved.test(text) ? text : JSON.stringify(text);
}

/** What a person typed as the text of a value of that form. */
export function typed(text: string, s: Schema | undefined): string {
  const trimmed = text.trim();
  const kinds = forms(s).map(formOf);
  if (kinds.includes("number") && trimmed !== "" && Number.isFinite(Number(trimmed))) return trimmed;
  if (kinds.includes("switch") && /^(true|false)$/.test(trimmed)) return trimmed;
  return bare(trimmed);
}
