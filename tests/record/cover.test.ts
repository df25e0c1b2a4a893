import { describe, expect, test } from 'vitest';
import { demoMeter } from '../../seed-demo/demo-script.js';
import type { Entry, EntryBody, NewEntry } from '../../src/logbook/entry.js';
import { coverSection } from '../../src/record/document/cover.js';
import { rulesVersion } from '../../src/trade/rules-version.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { checker, fitter, jobOf, played, propose } from '../steps/played.js';
import { sampleInput } from './sample-record.js';

const entries = played();
const page = (of: readonly Entry[]) => JSON.stringify(coverSection(jobOf(of), sampleInput));

/** The entries with one more, or why it is refused. */
function then(before: readonly Entry[], entry: NewEntry, by = fitter): Entry[] {
  const answer = propose(before, entry, by);
  if (!answer.ok) throw new Error(JSON.stringify(answer.issues));
  return answer.entries as Entry[];
}

/** A step that is left out, done at last: every value 100 times its least. */
function doneToo(before: readonly Entry[], id: string): Entry[] {
  const { step } = jobOf(before).steps.get(id)!;
  const answers: EntryBody<'step done'>['answers'] = {};
  for (const ask of step.asks) {
    if (ask.kind === 'tick') answers[ask.id] = { kind: 'tick' };
    if (ask.kind === 'choice') answers[ask.id] = { kind: 'choice', value: ask.options[0]!.value };
    if (ask.kind === 'value' && !ask.optional)
      answers[ask.id] = {
        ...{ kind: 'value', si: 100 * ask.min!, typed: String(ask.min! / 1e4), unit: ask.units.metric },
      };
  }
  return then(before, { kind: 'step done', subject: `step:${id}`, body: { answers } });
}
const otherCable = (before: readonly Entry[]) => {
  const circuit = demoCircuit({ 'run.2.feed.awg': 10 });
  const body = { circuit, rules: rulesVersion, reason: 'Thicker.' };
  return then(before, { kind: 'circuit set', subject: 'circuit', body });
};
const reopened = (before: readonly Entry[], id: string) =>
  then(before, { kind: 'step reopened', subject: `step:${id}`, body: { reason: 'Looked at once more.' } });

describe('page one of a record', () => {
  test('names whoever else did the work, not the fitter of the job alone', () => {
    expect(page(entries)).toContain('"fitter Ines Okafor, ');
    const per = { ...fitter, id: 'p-per', name: 'Per Lund' };
    const raised = then(entries, {
      kind: 'defect raised',
      subject: 'place:bond',
      body: { what: 'The nut is loose.', suspects: [] },
    });
    const body = {
      defect: raised.length,
      found: 'x',
      done: 'y',
      disturbs: [{ what: 'bond-touched' as const }],
    };
    const mended = then(raised, { kind: 'defect reworked', subject: 'place:bond', body }, per);
    expect(page(mended)).toContain('"fitter Ines Okafor with Per Lund, ');
  });

  test('says what was decided about a lost neutral, in the words of the step, and by whom', () => {
    expect(page(entries)).toContain(
      'stays closed when the neutral is lost. Decided by Tam Whitlock: “It stays closed or is not known; we accept that and the owner is told”.',
    );
  });

  test('says what the rule asks of living quarters for a device that stays closed, or of which it is not known', () => {
    const rule = 'asks for a device that opens then too.';
    const answers = {
      'device-chosen.open-neutral': { kind: 'choice', value: 'accepted-by-authority' },
    } as const;
    const quarters = (openNeutral: string) =>
      page(
        played(demoCircuit({ vehicleUse: 'living-quarters', 'run.0.openNeutral': openNeutral }), {
          answers,
          until: (job) => job.stage !== 'sheet',
        }),
      );
    expect(quarters('stays')).toContain(rule);
    expect(quarters('unknown')).toContain(rule);
    expect(quarters('opens')).not.toContain(rule);
    expect(page(entries)).not.toContain(rule);
  });

  test('says that the insulation was tested at voltage only while the step that tests it stands', () => {
    const [tested, not] = [
      'the insulation was tested at voltage',
      'the insulation was not tested at voltage',
    ];
    expect(page(entries)).toContain(not);
    const begun = played(undefined, {
      until: (job) => job.steps.get('run-photographed')?.status === 'ready',
    });
    const done = doneToo(begun, 'insulation-bare-cable');
    expect(page(done)).toContain(tested);
    expect(page(reopened(done, 'insulation-bare-cable'))).toContain(not);
    expect(page(otherCable(done))).toContain(not);
    const body = { reason: 'No such tester is on hand, and the cable is new.' };
    const subject = 'step:insulation-bare-cable';
    expect(page(then(begun, { kind: 'concession granted', subject, body }, checker))).toContain(not);
  });

  test('names the outlets at which nothing was read under load, as long as there are any', () => {
    const run = demoCircuit().run.map((o) => o.id);
    const under = (at: readonly string[]) =>
      page(
        at.reduce((before, id) => {
          const body = {
            shown: { kind: 'loaded-volts', volts: 116.9, amps: 8 } as const,
            note: '',
            instrument: demoMeter,
          };
          return then(before, { kind: 'reading taken', subject: `reading:loaded.hot-neutral.${id}`, body });
        }, entries),
      );
    const said = 'Nothing was read under load at';
    expect(under([])).toContain(
      `${said} outlet 1 (sewing bench, left wall) and outlet 2 (nipping press, rear bulkhead):`,
    );
    expect(under(run.slice(0, 1))).toContain(`${said} outlet 2 (nipping press, rear bulkhead):`);
    expect(under(run)).not.toContain(said);
  });

  test('names among what is not done a step that was done once and is open again', () => {
    const left = 'L8 Plug-in tester at outlet 3';
    expect(page(entries)).toContain(left);
    const done = doneToo(entries, 'plug-in-tester');
    expect(page(done)).not.toContain(left);
    expect(page(reopened(done, 'plug-in-tester'))).toContain(left);
    const changed = otherCable(done);
    expect(jobOf(changed).steps.get('plug-in-tester')?.done).toBeDefined();
    expect(page(changed)).toContain(left);
  });

  test('says of a further revision that it takes the place of the one before it', () => {
    const head = entries.at(-1)!.digest;
    const body = { revision: 1, head, sha256: '1'.repeat(64), fingerprint: '2'.repeat(64) };
    const issued = then(entries, {
      kind: 'record issued',
      subject: 'job',
      body: { ...body, worksAlone: false },
    } as NewEntry);
    expect(page(entries)).not.toContain('in place of the ones before it');
    expect(page(issued)).toContain('in place of the ones before it');
  });

  test('says from which day to which the readings are', () => {
    expect(page(entries)).toContain('readings pass, taken 14 September 2026 to 15 September 2026');
  });

  test('counts what no limit judges apart, so that lamps do not look like readings that failed', () => {
    const all = /(\d+) of \1 readings pass, taken/.exec(page(entries))?.[1];
    const shown = { kind: 'lamps', hotNeutral: true, hotGround: true, neutralGround: false } as const;
    const subject = `reading:lamps.${demoCircuit().run[0]!.id}`;
    const looked = then(entries, { kind: 'reading taken', subject, body: { shown, note: '' } });
    expect(page(looked)).toContain(`${all} of ${all} readings pass, 1 more that no limit judges, taken`);
  });

  test('says when the key was made for the occasion, and shortens a long re-check to two lines', () => {
    const job = jobOf(entries);
    const occasion = 'made for the occasion';
    expect(JSON.stringify(coverSection(job, { ...sampleInput, keyForOccasion: true }))).toContain(occasion);
    const date = { kind: 'note', text: `In May, ${'and again, '.repeat(40)}in June.` } as const;
    const long = page(played(undefined, { answers: { 're-check-set.date': date } }));
    expect(long).toContain('In May, and again,');
    expect(long).not.toContain('in June.');
  });

  test('says what was written by people of another shop, whose logbook was taken over', () => {
    const job = jobOf(entries);
    const elsewhere = { entries: 12, names: ['Noor Hale', 'Per Lind'] };
    expect(JSON.stringify(coverSection(job, { ...sampleInput, elsewhere }))).toContain(
      `Of the ${entries.length} entries of its logbook 12 were written in another shop, by Noor Hale and Per Lind. Thimble Lane Vanworks took the logbook over`,
    );
    expect(page(entries)).not.toContain('another shop');
  });
});
