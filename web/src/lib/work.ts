// One job that is worked on: its state, its plan, and what is under way. It knows no
// framework; pages subscribe to it.
import * as client from "./client";
import type { Edit, State, View } from "./client";

export interface Desk {
  state: State | null;
  view: View | null; // the last whole plan: meshes and files belong to it
  quick: View | null; // newer numbers, while the whole plan is being made
  working: string; // the stage at work; empty: none
  told: string; // what went wrong, or what happened elsewhere
  busy: boolean;
}

type Listener = (d: Desk) => void;

export class Work {
  private desk: Desk = { state: null, view: null, quick: null, working: "", told: "", busy: false };
  private listeners = new Set<Listener>();
  private stopPlan = () => {};
  private stopWatch = () => {};

  constructor(readonly id: string) {}

  /** As a store has it: told at once, and with every change. */
  subscribe(listener: Listener): () => void {
    this.listeners.add(listener);
    listener(this.desk);
    return () => this.listeners.delete(listener);
  }

  private set(change: Partial<Desk>): void {
    this.desk = { ...this.desk, ...change };
    for (const l of this.listeners) l(this.desk);
  }

  async open(): Promise<void> {
    try {
      this.take(await client.openJob(this.id));
    } catch (e) {
      this.set({ told: words(e) });
    }
  }

  close(): void {
    this.stopPlan();
    this.stopWatch();
    this.listeners.clear();
  }

  /** Changes values, all or none. */
  edit(edits: Edit[]): Promise<boolean> {
    return this.change((v) => client.editJob(this.id, v, edits));
  }

  put(path: string, text: string): Promise<boolean> {
    return this.edit([{ path, text }]);
  }

  takeOut(path: string): Promise<boolean> {
    return this.edit([{ path, text: null }]);
  }

  replace(text: string): Promise<boolean> {
    return this.change((v) => client.replaceText(this.id, v, text));
  }

  undo(): Promise<boolean> {
    return this.change((v) => client.undo(this.id, v));
  }

  redo(): Promise<boolean> {
    return this.change((v) => client.redo(this.id, v));
  }

  stop(): void {
    this.stopPlan();
    this.set({ working: "", busy: false, told: "Stopped. The numbers are those of the last whole plan." });
  }

  dismiss(): void {
    this.set({ told: "" });
  }

  private async change(call: (version: string) => Promise<State>): Promise<boolean> {
    const state = this.desk.state;
    if (!state) return false;
    try {
      this.take(await call(state.version));
      return true;
    } catch (e) {
      if (e instanceof client.Refusal && e.status === 409) {
        await this.open();
        this.set({ told: "The job was changed elsewhere meanwhile. Here it is as it stands; make your change again." });
      } else {
        this.set({ told: words(e) });
      }
      return false;
    }
  }

  /** Takes a state over, has it planned, and watches for changes from elsewhere. */
  private take(state: State): void {
    this.stopPlan();
    this.stopWatch();
    this.set({ state, told: "", busy: true, working: "reading" });
    this.stopWatch = client.watch(this.id, state.version, () => {
      if (this.desk.state?.version !== state.version) return;
      void this.open().then(() =>
        this.set({ told: "The job was changed in another window or by another program; this is how it stands now." }),
      );
    });
    const here = () => this.desk.state?.version === state.version;
    this.stopPlan = client.plan(this.id, state.version, {
      stage: (name) => here() && this.set({ working: name }),
      roll: () => {},
      quick: (quick) => here() && this.set({ quick }),
      plan: (view) => here() && this.set({ view, quick: null, working: "", busy: false }),
      stale: () => here() && void this.open(),
      failed: (text) => here() && this.set({ working: "", busy: false, told: text }),
    });
  }
}

function words(e: unknown): string {
  return e instanceof Error ? e.message : String(e);
}
