// The ten steps of the work, with their names for people and the sections of the job
// file that belong to each.

export interface StepInfo {
  name: string;
  label: string;
  asks: string;
  sections: string[];
}

export const steps: StepInfo[] = [
  { name: "duty", label: "Duty", asks: "What must the part do, and bear?", sections: ["duty", "shop"] },
  { name: "mould", label: "Mould", asks: "What is it laid on?", sections: ["mould", "part"] },
  { name: "laminate", label: "Laminate", asks: "What is the wall made of?", sections: ["laminate"] },
  { name: "plies", label: "Plies", asks: "What shape is each piece of cloth?", sections: ["plies"] },
  { name: "strength", label: "Strength", asks: "Does the wall hold?", sections: ["strength", "part.held"] },
  { name: "roll", label: "Roll", asks: "How is it cut from the roll?", sections: ["roll"] },
  { name: "wetout", label: "Wet-out", asks: "How much resin, in how many cups?", sections: ["wetout", "shop"] },
  { name: "bag", label: "Bag", asks: "What lies on top, what does the vacuum do?", sections: ["bag", "shop"] },
  { name: "cure", label: "Cure", asks: "How does it harden?", sections: ["cure"] },
  { name: "bench", label: "Bench", asks: "What is done when?", sections: ["bench"] },
];

export const whole: StepInfo = {
  name: "job",
  label: "The job",
  asks: "Whose part is it?",
  sections: ["job", "show", "materials"],
};

export function stepNamed(name: string): StepInfo {
  return steps.find((s) => s.name === name) ?? whole;
}

/** The step that a finding belongs to; what belongs to none is the whole job's. */
export function stepOf(stage: string): string {
  return steps.some((s) => s.name === stage) ? stage : "job";
}
