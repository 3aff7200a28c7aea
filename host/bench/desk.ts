// The desk where captures are judged: expected behaviour per profile, kept once computed. The work runs in a worker
// thread so that neither the screen nor the rig's heartbeat waits for it.

import type { Capture } from '../capture/index.js';
import { known } from '../fields/index.js';
import type { Judgement } from '../judge/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { startWorker } from '../program/index.js';
import type { ExpectedBand } from './events.js';

export interface Desk {
  /** Expected band of a profile's own plan. */
  prepare(unit: ResolvedUnit): Promise<ExpectedBand>;
  judge(unit: ResolvedUnit, capture: Capture, stop?: string): Promise<Judgement>;
  close(): Promise<void>;
}

export type DeskRequest =
  | { id: number; task: 'prepare'; unit: ResolvedUnit }
  | { id: number; task: 'judge'; unit: ResolvedUnit; capture: Capture; stop?: string };
export type DeskReply = { id: number; value: unknown } | { id: number; error: Error };

/** Opens a desk in its own thread. */
export function openDesk(): Desk {
  const worker = startWorker('./desk-worker', import.meta.url);
  worker.unref();
  const open = new Map<number, { resolve: (value: unknown) => void; reject: (error: Error) => void }>();
  let lastId = 0;
  worker.on('message', (reply: DeskReply) => {
    const waiting = open.get(reply.id);
    open.delete(reply.id);
    if (open.size === 0) worker.unref();
    if ('error' in reply) waiting?.reject(reply.error);
    else waiting?.resolve(reply.value);
  });
  worker.on('error', (error) => {
    for (const waiting of open.values()) waiting.reject(error);
    open.clear();
  });
  const ask = <T>(request: DeskTask): Promise<T> => {
    lastId += 1;
    const id = lastId;
    worker.ref();
    return new Promise<T>((resolve, reject) => {
      open.set(id, { resolve: resolve as (value: unknown) => void, reject });
      worker.postMessage({ ...request, id });
    });
  };
  return {
    prepare: (unit) => ask({ task: 'prepare', unit }),
    judge: (unit, capture, stop) => ask(known({ task: 'judge' as const, unit, capture, stop })),
    close: async () => {
      await worker.terminate();
    },
  };
}

type DeskTask = DeskRequest extends infer R ? (R extends { id: number } ? Omit<R, 'id'> : never) : never;
