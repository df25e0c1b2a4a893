import { expect, test } from 'vitest';
import { demoMeter } from '../../seed-demo/demo-script.js';
import type { Entry, InstrumentSnapshot, Shown } from '../../src/logbook/entry.js';
import { readingSection } from '../../src/record/document/reading-section.js';
import type { RecordInput } from '../../src/record/document/record-input.js';
import type { Assessment } from '../../src/steps/assessment.js';
import { fitter, jobOf, played, propose } from '../steps/played.js';
import { sampleJob } from './sample-job.js';
import { sampleInput } from './sample-record.js';

const entries = played();

/** Every text of the section, line by line. */
function printed(job: Assessment, input: RecordInput = sampleInput): string {
  const texts = (value: unknown): string[] => {
    if (typeof value === 'string') return [value];
    if (value === null || typeof value !== 'object' || 'shapes' in value) return [];
    return Object.entries(value).flatMap(([key, inner]) => (key === 'manner' ? [] : texts(inner)));
  };
  return texts(readingSection(job, input)).join('\n');
}

function taken(before: readonly Entry[], shown: Shown, note: string, instrument: InstrumentSnapshot) {
  const body = { shown, note, instrument };
  const answer = propose(before, { kind: 'reading taken', subject: 'reading:bond', body }, fitter);
  if (!answer.ok) throw new Error(JSON.stringify(answer.issues));
  return answer.entries as Entry[];
}

test('a reading says its note, its remarks, who conceded it, and how often it was read before', async () => {
  const sample = printed(await sampleJob());
  expect(sample).toContain('The meter’s error reaches across the limit: take it again with a finer meter.');
  expect(sample).toContain('unproven\nconceded by Tam Whitlock');
  expect(sample).toContain('Ground, inlet to outlet 2\n1 earlier, see Defects and mends');
  expect(printed(jobOf(entries))).not.toContain('earlier, see');
  const noted = taken(entries, { kind: 'ohms', ohms: 0.04 }, 'Read at the bare bolt.', demoMeter);
  expect(printed(jobOf(noted))).toMatch(/“Read at the bare bolt.”\n1 earlier, see/);
});

test('one that waited on a phone says when it was filled in and when it arrived', () => {
  const at = (seq: number) => entries[seq - 1]!.at;
  const seq = entries.find((e) => e.subject === 'reading:bond')!.seq;
  const filledIn = new Date(Date.parse(at(seq)) - 3 * 3_600_000).toISOString();
  const waited = entries.map((e) => (e.seq === seq ? { ...e, filledIn } : e));
  const short = (iso: string) => iso.slice(0, 16).replace('T', ' ');
  expect(printed(jobOf(waited))).toContain(`${short(filledIn)}\narrived ${short(at(seq))}`);
  expect(printed(jobOf(entries))).not.toContain('arrived');
});

test('what is required stands there though it was not taken, and what was left out is named under the table', () => {
  const begun = printed(jobOf(played(undefined, { until: (job) => job.stage === 'live' })));
  expect(begun).toMatch(/V1a\n.*?not taken\nmissing/s);
  const [, left] = printed(jobOf(entries)).split('Not required and not taken: ');
  expect(left).toMatch(/^TL1 Three-lamp tester at outlet 1[^;]*; /);
});

test('an instrument stands once for each day of its calibration, with its error in the unit of what it reads', () => {
  const again = { ...demoMeter, calibrated: '2026-09-15' };
  const both = printed(jobOf(taken(entries, { kind: 'ohms', ohms: 0.04 }, '', again)));
  expect(both).toContain('12 May 2026');
  expect(both).toContain('15 September 2026');
  expect(both).toContain('ohms 0.9 % + 2 counts of 0.01 Ω; volts 1 % + 3 counts of 0.1 V');
  // Of the shop's others none measured anything here.
  const more = { id: 'i-spare', name: 'spare meter', serial: 'TL-9', calibrated: '2026-01-01' };
  expect(printed(jobOf(entries), { ...sampleInput, instruments: [more] })).not.toContain('spare meter');
});

test('each reading that a limit judged by number is drawn once, over as many pictures as it takes', () => {
  const job = jobOf(entries);
  const scenes = readingSection(job, sampleInput).blocks.flatMap((b) =>
    b.kind === 'scene' ? [b.scene] : [],
  );
  const drawn = JSON.stringify(scenes);
  const judged = [...job.readings.values()].filter(
    ({ taken: t, planned }) => t && 'limit' in planned && planned.limit && planned.test !== 'observation',
  );
  expect(judged.length).toBeGreaterThan(40);
  for (const { planned } of judged) expect(drawn, planned.code).toContain(planned.code);
});
