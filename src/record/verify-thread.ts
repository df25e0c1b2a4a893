import { parentPort, workerData } from 'node:worker_threads';
import type { Told } from './verify-apart.js';
import { verifyPages } from './verify-pages.js';
import type { Expectation } from './verify-pdf.js';

/** The thread of `verifyApart`: tells its answer without the pages as soon as it has it, and then with them. */
const { file, expected } = workerData as { file: Uint8Array; expected: Expectation };
const tell = (told: Told) => parentPort?.postMessage(told);
const seen = await verifyPages(file, expected, (early) => tell({ seen: early, whole: !('facts' in early) }));
tell({ seen, whole: true });
