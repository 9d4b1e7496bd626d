/** What every group of faults takes and gives. */

export type FaultOptions = {
  /** How often the program is hurt. */
  readonly tries: number;
  /** The same seed plays the same edits and draws the same instants; what the machine does in between is its own. */
  readonly seed: number;
  /** Told of progress, a line at a time. */
  readonly tell?: (line: string) => void;
};

export type FaultReport = {
  readonly name: string;
  /** Those that were really carried out: what this machine does not allow is not among them. */
  readonly tries: number;
  /** A sentence for each thing that was lost, shown wrongly, or kept from the person. */
  readonly losses: string[];
  /** Counts and notes beside, for whoever reads the report. */
  readonly facts: Record<string, number | string>;
};

export type Fault = (options: FaultOptions) => Promise<FaultReport>;

/** Counts by name. */
export class Tally {
  readonly counts: Record<string, number> = {};
  add(name: string, by = 1): void {
    this.counts[name] = (this.counts[name] ?? 0) + by;
  }
}
