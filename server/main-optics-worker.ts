/**
 * Learns toners beside the language server, in a worker of Node or of a browser: samples come in as plain data, what was learned goes
 * out. A message carries a number, so that answers find their questions.
 */
import { learn } from './book/optics/learn.ts';
import type { LearnReply, LearnRequest } from './editor/learn-port.ts';

function answer({ id, samples }: LearnRequest): LearnReply {
  try {
    return { id, learned: learn(samples) };
  } catch (error) {
    return { id, error: error instanceof Error ? error.message : String(error) };
  }
}

interface Port {
  postMessage(reply: LearnReply): void;
  on?(event: 'message', listen: (request: LearnRequest) => void): void;
}

/** Listens on a port of Node or on a browser worker's own scope. */
async function listen(): Promise<void> {
  const scope = globalThis as { postMessage?: (reply: LearnReply) => void; onmessage?: unknown };
  if (typeof process === 'object' && process.versions?.node && scope.postMessage === undefined) {
    const { parentPort } = (await import('node:worker_threads')) as { parentPort: Port | null };
    parentPort?.on?.('message', (request) => parentPort.postMessage(answer(request)));
    return;
  }
  scope.onmessage = ({ data }: { data: LearnRequest }) => scope.postMessage?.(answer(data));
}

void listen();
