import { expect, test } from 'vitest';
import type { Circuit } from '../../src/circuit/circuit.js';
import { recordDocument } from '../../src/record/document.js';
import { fieldChanges } from '../circuit/circuit-fields.js';
import { jobOf, played } from '../steps/played.js';
import { sampleInput } from './sample-record.js';

test.each(fieldChanges())('$path is told on the pages of a record', ({ base, others }) => {
  const before = pagesOf(base);
  expect(others.length).toBeGreaterThan(0);
  for (const other of others) expect(pagesOf(other)).not.toBe(before);
});

/** Everything printed of a job that has nothing but this circuit. */
function pagesOf(circuit: Circuit): string {
  const { cover, sections } = recordDocument(jobOf(played(circuit)), sampleInput);
  // Its digests are others whatever is told.
  const told = sections.filter((s) => s.title !== 'How to check this record');
  return JSON.stringify([cover, told], (key, value) => (key === 'shapes' ? undefined : value));
}
