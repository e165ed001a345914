/** A regulated cycle that ships with the program. */
export interface BuiltInCycle {
  /** What `--cycle` takes. */
  readonly name: string;
  /** One line for people. */
  readonly description: string;
  /** The standard that defines the cycle. */
  readonly standard: string;
}

/** The regulated cycles that ship with the program; `cycles/SOURCES.md` says how far each is checked. */
export const builtInCycles: readonly BuiltInCycle[] = [
  {
    name: 'wltc-class3b',
    description:
      'world harmonised light-duty cycle for cars of more than 34 kW/t that reach 120 km/h',
    standard: 'UN GTR No. 15, Annex 1',
  },
  {
    name: 'wltc-class2',
    description: 'world harmonised light-duty cycle for cars of 22 to 34 kW/t',
    standard: 'UN GTR No. 15, Annex 1',
  },
  {
    name: 'nedc',
    description: 'former European cycle: four urban parts and one extra-urban part',
    standard: 'UN Regulation No. 83, Annex 4a',
  },
  {
    name: 'udds',
    description: 'urban driving of the US federal test procedure (FTP-72)',
    standard: '40 CFR Part 86, Appendix I (a)',
  },
  {
    name: 'hwfet',
    description: 'US highway fuel economy schedule',
    standard: '40 CFR Part 600, Appendix I',
  },
  {
    name: 'us06',
    description: 'US schedule of high speed and hard acceleration',
    standard: '40 CFR Part 86, Appendix I (g)',
  },
  {
    name: 'nycc',
    description: 'New York City cycle: slow traffic with many stops',
    standard: '40 CFR Part 86, Appendix I (e)',
  },
  {
    name: 'hd-udds',
    description: 'US urban schedule for heavy-duty vehicles',
    standard: '40 CFR Part 86, Appendix I (d)',
  },
  {
    name: 'jc08',
    description: 'Japanese cycle that followed the 10-15 mode',
    standard: 'Japanese test procedures (TRIAS), JC08 mode',
  },
  {
    name: 'japan-10-15',
    description: 'Japanese cycle of three times the 10 mode and once the 15 mode',
    standard: 'Japanese test procedures (TRIAS), 10-15 mode',
  },
];

/** The built-in cycle of that very name, or undefined. */
export function findBuiltInCycle(name: string): BuiltInCycle | undefined {
  return builtInCycles.find((cycle) => cycle.name === name);
}

/** Where the table of a built-in cycle lies, from the root of the package, with forward slashes. */
export function cycleFile(cycle: BuiltInCycle): string {
  return `cycles/${cycle.name}.csv`;
}
