// The app's own server: typed calls, the events of planning, meshes and their values.
import createClient from "openapi-fetch";
import type { components, paths } from "../api/api";

export type State = components["schemas"]["State"];
export type View = components["schemas"]["View"];
export type Step = components["schemas"]["Step"];
export type Layer = components["schemas"]["Layer"];
export type Finding = components["schemas"]["Finding"];
export type Problem = components["schemas"]["Problem"];
export type PlyView = components["schemas"]["PlyView"];
export type Edit = components["schemas"]["Edit"];
export type Entry = components["schemas"]["Entry"];
export type Question = components["schemas"]["Question"];
export type Answer = components["schemas"]["Answer"];
export type Names = components["schemas"]["NamesBodyBody"];

const api = createClient<paths>({ baseUrl: "/" });

/** An answer that refuses: its status, and the words to show. */
export class Refusal extends Error {
  constructor(
    readonly status: number,
    text: string,
  ) {
    super(text);
  }
}

interface Reply<T> {
  data?: T;
  error?: { detail?: string; errors?: { message?: string }[] | null };
  response: Response;
}

async function taken<T>(call: Promise<Reply<T>>): Promise<T> {
  let answer: Reply<T>;
  try {
    answer = await call;
  } catch {
    throw new Refusal(0, "The program does not answer. Is it still running?");
  }
  if (answer.data !== undefined) return answer.data;
  const words = [
    answer.error?.detail ?? answer.response.statusText,
    ...(answer.error?.errors ?? []).map((e) => e.message ?? ""),
  ];
  throw new Refusal(answer.response.status, words.filter(Boolean).join("; "));
}

const of = (id: string) => ({ params: { path: { id } } });

export const listJobs = () => taken(api.GET("/api/jobs"));
export const createJob = (id: string, text?: string) => taken(api.POST("/api/jobs", { body: { id, text } }));
export const openJob = (id: string) => taken(api.GET("/api/jobs/{id}", of(id)));
export const editJob = (id: string, version: string, edits: Edit[]) =>
  taken(api.POST("/api/jobs/{id}/edit", { ...of(id), body: { version, edits } }));
export const replaceText = (id: string, version: string, text: string) =>
  taken(api.PUT("/api/jobs/{id}/text", { ...of(id), body: { version, text } }));
export const undo = (id: string, version: string) =>
  taken(api.POST("/api/jobs/{id}/undo", { ...of(id), body: { version } }));
export const redo = (id: string, version: string) =>
  taken(api.POST("/api/jobs/{id}/redo", { ...of(id), body: { version } }));
export const libraryNames = () => taken(api.GET("/api/library/names"));
export const listQuestions = () => taken(api.GET("/api/questions"));
export const ask = (name: string, told: Record<string, string>) =>
  taken(api.POST("/api/questions/{name}", { params: { path: { name } }, body: { told } }));
export const look = () => taken(api.GET("/api/look"));

/** The address of something that belongs to a version of a job. */
export function address(id: string, version: string, path: string): string {
  return `/api/jobs/${encodeURIComponent(id)}/${path}?version=${encodeURIComponent(version)}`;
}

/** How the making of a plan goes on. */
export interface Planning {
  stage(name: string): void;
  roll(done: number, use: number): void;
  quick(view: View): void;
  plan(view: View): void;
  stale(): void;
  failed(words: string): void;
}

/** Has a version planned; the answer stops it. */
export function plan(id: string, version: string, tell: Planning): () => void {
  const source = new EventSource(address(id, version, "events"));
  const on = (kind: string, take: (body: any) => void, last = false) =>
    source.addEventListener(kind, (e) => {
      if (last) source.close();
      take(JSON.parse((e as MessageEvent<string>).data));
    });
  on("stage", (b) => tell.stage(b.name));
  on("roll", (b) => tell.roll(b.done, b.use));
  on("quick", (b) => tell.quick(b));
  on("plan", (b) => tell.plan(b), true);
  on("stale", () => tell.stale(), true);
  on("stopped", () => {}, true);
  on("failed", (b) => tell.failed(b.detail), true);
  source.onerror = () => {
    source.close();
    tell.failed("The program does not answer. Is it still running?");
  };
  return () => source.close();
}

/** Tells when another window or program changed the job. */
export function watch(id: string, version: string, moved: (version: string) => void): () => void {
  const source = new EventSource(address(id, version, "watch"));
  source.addEventListener("version", (e) => moved(JSON.parse((e as MessageEvent<string>).data).version));
  return () => source.close();
}

/** A mesh as it comes from the server: metres. */
export interface Mesh {
  places: Float32Array<ArrayBuffer>;
  corners: Uint32Array<ArrayBuffer>;
}

async function bytes(url: string): Promise<ArrayBuffer> {
  const answer = await fetch(url);
  if (!answer.ok) throw new Refusal(answer.status, answer.statusText);
  return answer.arrayBuffer();
}

export async function mesh(id: string, version: string, name: string): Promise<Mesh> {
  const all = await bytes(address(id, version, `meshes/${name}`));
  const [vertices = 0, triangles = 0] = new Uint32Array(all, 0, 2);
  return {
    places: new Float32Array(all, 8, 3 * vertices),
    corners: new Uint32Array(all, 8 + 12 * vertices, 3 * triangles),
  };
}

export async function values(id: string, version: string, layer: string): Promise<Float32Array<ArrayBuffer>> {
  return new Float32Array(await bytes(address(id, version, `layers/${layer}`)));
}

export async function planJSON(id: string, version: string): Promise<Record<string, unknown>> {
  const answer = await fetch(address(id, version, "plan.json"));
  if (!answer.ok) throw new Refusal(answer.status, answer.statusText);
  return answer.json();
}

export async function jobSchema(): Promise<unknown> {
  return (await fetch("/api/schema/job")).json();
}
