/** The port through which toners are learned: questions to a worker and its answers, told apart by numbers. */
import type { Learned } from '../book/optics/learn.ts';
import type { Samples } from '../book/optics/samples.ts';

export interface LearnRequest {
  readonly id: number;
  readonly samples: Samples;
}

export type LearnReply =
  | { readonly id: number; readonly learned: Learned }
  | { readonly id: number; readonly error: string };

/** A worker that was started; `post` hands it a question. */
export interface LearnWorker {
  readonly post: (request: LearnRequest) => void;
}

export type StartWorker = (onReply: (reply: LearnReply) => void, onFailure: (error: Error) => void) => LearnWorker;

interface Waiting {
  readonly resolve: (learned: Learned) => void;
  readonly reject: (error: Error) => void;
}

/** Starts the worker with the first question, and again with the next one after it failed. */
export function learnPort(start: StartWorker): (samples: Samples) => Promise<Learned> {
  const waiting = new Map<number, Waiting>();
  let worker: LearnWorker | undefined;
  let last = 0;
  const onReply = (reply: LearnReply): void => {
    const asked = waiting.get(reply.id);
    waiting.delete(reply.id);
    if ('learned' in reply) asked?.resolve(reply.learned);
    else asked?.reject(new Error(reply.error));
  };
  const onFailure = (error: Error): void => {
    worker = undefined;
    for (const { reject } of waiting.values()) reject(error);
    waiting.clear();
  };
  return (samples) =>
    new Promise((resolve, reject) => {
      const id = ++last;
      waiting.set(id, { resolve, reject });
      try {
        worker ??= start(onReply, onFailure);
        worker.post({ id, samples });
      } catch (error) {
        onFailure(error instanceof Error ? error : new Error(String(error)));
      }
    });
}
