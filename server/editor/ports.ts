import type { Learned } from '../book/optics/learn.ts';
import type { Samples } from '../book/optics/samples.ts';

/** What the language server needs of its surroundings; the mains hand it in, so that it runs in Node and in a browser worker alike. */
export interface Ports {
  /** Uris of every `.pour` file below a folder. */
  readonly listFiles: (folder: string) => Promise<readonly string[]>;
  /** Undefined when the file is not there. */
  readonly readFile: (uri: string) => Promise<Uint8Array | undefined>;
  /** Lets other messages be handled before the server goes on. */
  readonly pause: () => Promise<void>;
  /** Learns toners beside the server; without it only what optics.lock says is known. */
  readonly learn?: (samples: Samples) => Promise<Learned>;
}
