// Puts what a run samples into its record while it goes on, so that a crash loses no more than the last quarter second.

import type { Rig, SampleBlock } from '../rig/index.js';
import type { RunStore } from './unit-job.js';

const SAVES_A_SECOND = 4;

export class SampleSaver {
  #blocks: SampleBlock[] = [];
  #samples = 0;
  #isSaving = true;

  constructor(
    readonly store: Pick<RunStore, 'appendSamples'>,
    readonly runId: string,
    readonly rig: Pick<Rig, 'facts'>,
    /** Told once; the whole capture is stored at the end, and fails loudly there if it still cannot be. */
    readonly onTrouble: (error: unknown) => void,
  ) {}

  add(block: SampleBlock): void {
    this.#blocks.push(block);
    this.#samples += block.timeS.length;
    if (this.#samples >= this.rig.facts.sampleRateHz / SAVES_A_SECOND) this.save();
  }

  save(): void {
    const blocks = this.#blocks;
    this.#blocks = [];
    this.#samples = 0;
    if (blocks.length === 0 || !this.#isSaving) return;
    try {
      this.store.appendSamples(this.runId, blocks);
    } catch (error) {
      this.#isSaving = false;
      this.onTrouble(error);
    }
  }
}
