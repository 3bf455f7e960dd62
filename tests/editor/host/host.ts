import type { Page } from 'playwright-core';

/** Where the extension's code runs: a Node process, or a worker of the browser. */
export type HostKind = 'node' | 'worker';

/** One start of the editor. All paths are absolute. */
export interface EditorRun {
  /** The folder that the window opens. */
  workspace: string;
  /** The folder of the extension under development. */
  extension: string;
  /** A CommonJS module that exports `run()`; the editor closes when its promise is settled. */
  suite: string;
  /** A fresh folder for settings, state and installed extensions. */
  profile: string;
  /** A packed extension to install first. */
  vsix?: string;
  /** Ends the run when the editor hangs. */
  limitSeconds: number;
}

/** A running editor whose page a test can press and read. */
export interface OpenEditor {
  page: Page;
  close(): Promise<void>;
}

/** A real VS Code that runs an extension test module. */
export interface EditorHost {
  /** Product and version, as printed with the results. */
  readonly name: string;
  /** Resolves to true when the module's `run()` was fulfilled; rejects when the editor could not be driven at all. */
  run(run: EditorRun): Promise<boolean>;
  /** Opens the editor for a user's hand; absent where it shows no page that can be driven. */
  open?(run: Omit<EditorRun, 'suite' | 'limitSeconds'>): Promise<OpenEditor>;
}
