/** What is wrong, where, and what to write instead. Offsets count UTF-16 units from the start of the entry's text. */
export interface Finding {
  /** Stable, kebab-case; the page of the manual has the same name. */
  readonly code: string;
  readonly severity: Severity;
  readonly from: number;
  readonly to: number;
  /** What is wrong, a full sentence. */
  readonly problem: string;
  /** What to write or do instead, a full sentence. */
  readonly remedy: string;
  readonly fixes?: readonly Fix[];
  /** Other places that belong to the finding, in this or another entry. */
  readonly related?: readonly Related[];
}

export type Severity = 'error' | 'warning' | 'info';

export interface Edit {
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

export interface Fix {
  readonly title: string;
  readonly edits: readonly Edit[];
  /** Safe to apply to a whole file at once, without looking. */
  readonly sure?: boolean;
}

export interface Related {
  /** `kind:id` of the entry, or nothing for the same entry. */
  readonly entry?: string;
  readonly from: number;
  readonly to: number;
  readonly text: string;
}
