import type { HostKind } from '../host/host.ts';

/** What one run of a suite tells the process that started the editor; written as JSON into the workspace folder. */
export interface Results {
  /** Where the extension's code really ran, as it saw it itself. */
  host: HostKind;
  editor: string;
  /** How many tests there are; fewer results mean that the editor came to an end before the suite. */
  planned: number;
  /** A test without an error has passed. */
  tests: { title: string; milliseconds: number; error?: string }[];
}

export const resultsFile = 'results.json';
