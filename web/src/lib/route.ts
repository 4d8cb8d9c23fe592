// Where in the app a person is, kept in the address after the hash.

export interface Place {
  job: string; // empty: the first page
  step: string;
}

export function placeOf(hash: string): Place {
  const [kind, job = "", step = ""] = hash.replace(/^#\/?/, "").split("/").map(decode);
  return kind === "job" && job ? { job, step: step || "duty" } : { job: "", step: "" };
}

export function hashOf(p: Place): string {
  return p.job ? `#/job/${encodeURIComponent(p.job)}/${p.step}` : "#/";
}

function decode(s: string): string {
  try {
    return decodeURIComponent(s);
  } catch {
    return s;
  }
}
