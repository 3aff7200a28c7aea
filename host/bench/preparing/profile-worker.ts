// The second thread of `prepareProfile`.

import { type MessagePort, workerData } from 'node:worker_threads';
import { LibraryWork } from '../../diagnose/index.js';
import { goodDraws } from '../../judge/index.js';
import type { ResolvedUnit } from '../../profile/index.js';
import { help } from './shared-work.js';

export interface ProfileJob {
  unit: ResolvedUnit;
  cells: Int32Array;
  port: MessagePort;
  findings: boolean;
}

const { unit, cells, port, findings } = workerData as ProfileJob;
help(goodDraws(unit), 0, cells, port);
if (findings) help(new LibraryWork(unit), 1, cells, port);
port.close();
