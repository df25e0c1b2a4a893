import { expect, test } from 'vitest';
import { recordDocument } from '../../src/record/document.js';
import { rulesVersion } from '../../src/trade/rules-version.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { fitter, jobOf, played, propose } from '../steps/played.js';
import { sampleInput } from './sample-record.js';

test('what was read and done at an outlet that is taken out stays in the record, as what no longer counts', () => {
  const entries = played();
  const circuit = demoCircuit({ run: demoCircuit().run.slice(0, 2), together: [] });
  const body = { circuit, rules: rulesVersion, reason: 'The locker goes without.' };
  const set = propose(entries, { kind: 'circuit set', subject: 'circuit', body }, fitter);
  if (!set.ok) throw new Error(JSON.stringify(set.issues));
  const pages = (of: typeof entries) => JSON.stringify(recordDocument(jobOf(of), sampleInput));
  for (const words of ['the circuit no longer calls for it', 'Steps that are gone']) {
    expect(pages(entries)).not.toContain(words);
    expect(pages(set.entries)).toContain(words);
  }
});
