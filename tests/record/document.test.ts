import { beforeAll, describe, expect, test } from 'vitest';
import { demoDriver } from '../../seed-demo/demo-script.js';
import { unitsFirst } from '../../src/circuit/units-first.js';
import { foldJob } from '../../src/logbook/job-log.js';
import type { Block, Section } from '../../src/record/document/block.js';
import { type RecordDocument, recordDocument } from '../../src/record/document.js';
import { assess } from '../../src/steps/assess.js';
import { stages } from '../../src/steps/step.js';
import { cautions, standingCautions } from '../../src/trade/cautions.js';
import { rulesVersion } from '../../src/trade/rules-version.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { jobOf, played } from '../steps/played.js';
import { sampleJob } from './sample-job.js';
import { sampleInput as input } from './sample-record.js';

let record: RecordDocument;
beforeAll(async () => {
  record = recordDocument(await sampleJob(), input);
});

/** Every text in a piece of a record, scenes and signatures' numbers left out. */
function textsOf(value: unknown): string[] {
  if (typeof value === 'string') return [value];
  if (value === null || typeof value !== 'object' || 'shapes' in value) return [];
  return Object.values(value).flatMap(textsOf);
}
const said = (piece: Section | readonly Block[] | RecordDocument) => textsOf(piece).join('\n');
const section = (title: string) => record.sections.find((s) => s.title === title)!;

describe('page one', () => {
  test('says how the shop is reached, where it says so', async () => {
    expect(said(record.cover)).toContain('Questions to\nThimble Lane Vanworks, 555-0142');
    const silent = recordDocument(await sampleJob(), { ...input, reach: undefined });
    expect(said(silent.cover)).not.toContain('Questions to');
  });

  test('tells the days of the readings, and all times after it, as the clock of the shop showed them', () => {
    const inGuam = recordDocument(assess(foldJob(played()))!, { ...input, zone: 'Pacific/Guam' });
    const inUtc = recordDocument(assess(foldJob(played()))!, input);
    expect(said(inUtc.cover)).toContain('taken 14 September 2026 to 15 September 2026');
    expect(said(inGuam.cover)).toContain('taken 15 September 2026 to 16 September 2026');
    expect(said(inGuam.cover)).toContain('4 March 2026, 20:00:00 ChST');
    const note = 'Times are Guam time: ChST, 10 hours ahead of UTC.';
    expect(said(inGuam).split(note).length - 1).toBe(2);
    expect(said(inGuam).replaceAll(note, '')).not.toContain('UTC');
    const first = played().find((e) => e.kind === 'step done')!;
    const hour = (hours: number) =>
      new Date(Date.parse(first.at) + hours * 3_600_000).toISOString().slice(0, 16).replace('T', ' ');
    expect(said(inUtc)).toContain(hour(0));
    expect(said(inGuam)).toContain(hour(10));
  });

  test('carries every standing caution word for word', () => {
    for (const id of standingCautions) expect(said(record.cover)).toContain(cautions[id].text);
  });

  test('uses words that the owner’s page explains', () => {
    const explained = said(section('For the owner'));
    for (const word of ['breaker', 'ground-fault device', 'inlet', 'isolation', 'receptacle', 'unproven'])
      expect(explained).toContain(`${word}: `);
  });

  test('says that it is no approval, and nothing that sounds like one', () => {
    expect(said(record.cover)).toContain('It is no approval.');
    expect(said(record)).not.toMatch(/\b(approved|compliant|certified|is safe|are safe|legal|to code)\b/i);
  });

  test('prints every standing concession with its reason and who granted it', () => {
    expect(said(record.cover)).toMatch(
      /Conceded: .*“The press and the kettle are never on together.*” Granted by Tam Whitlock/,
    );
    expect(said(record.cover)).toContain('Conceded: D1 Drop at outlet 3 under load.');
  });

  test('says how to plug in each time, when the first re-check is, and what was left out', () => {
    const demo = recordDocument(assess(foldJob(played()))!, input);
    const cover = said(demo.cover);
    expect(cover).toMatch(
      /To plug in: loads off, breaker off, cord into the van first and the supply last, then the breaker on/,
    );
    expect(cover).toMatch(/First re-check\n15 October, Ines Okafor, at the shop/);
    expect(cover).toContain('Not done, and not required: L8 Plug-in tester at outlet 3');
    expect(cover).toContain('What a supply’s ground can carry was not measured');
    expect(cover).not.toContain('C7');
  });

  test('names an instrument in the words of the trade, and claims no joint that no load has shown', () => {
    const demo = said(recordDocument(assess(foldJob(played()))!, input));
    expect(demo).toContain('torque screwdriver');
    expect(demo).not.toContain('torque-driver');
    expect(demo).toContain('a loose joint shows only under load');
    expect(demo).not.toContain('proven under load');
  });

  test('says what a record is not right under the cautions, before any list that may fill the page', () => {
    const headings = record.cover.blocks.flatMap((b) => (b.kind === 'heading' ? [b.text] : []));
    expect(headings.slice(0, 2)).toEqual(['Cautions', 'What this record is']);
  });

  test('says what becomes of the first device without its neutral, and that the insulation was not tested', () => {
    expect(said(record.cover)).toContain('stays closed when the neutral is lost');
    expect(said(record.cover)).toContain('the insulation was not tested at voltage');
    const unknown = jobOf(played(demoCircuit({ 'run.0.openNeutral': 'unknown' })));
    expect(said(recordDocument(unknown, input).cover)).toContain(
      'It is not known what the first device (sewing bench, left wall) does when the neutral is lost: take it that it stays closed.',
    );
  });

  test('names another source, which cord out and breaker off do not stop; so does the label at the breaker', () => {
    const sources = [{ kind: 'inverter-charger', keptOff: 'own-relay' }];
    const job = assess(foldJob(played(demoCircuit({ otherSources: sources }))))!;
    const whole = recordDocument(job, input);
    expect(said(whole.cover)).toMatch(
      /Another 120 V source is in the van: inverter with charger \(kept off .*Cord out and breaker off do not stop it/,
    );
    const labels = said(whole.sections.find((s) => s.title === 'To cut out')!);
    expect(labels).toContain('It does not stop the inverter with charger: off at its own disconnect.');
    expect(said(record)).not.toMatch(/Another 120 V source is in the van|does not stop the/);
  });

  test('names the rules that judge the job today, not those of the day on which its circuit was typed', async () => {
    const job = await sampleJob();
    expect(job.log.circuits.at(-1)!.body.rules).not.toBe(rulesVersion);
    expect(said(record.cover)).toContain(`judged by the rules of version ${rulesVersion};`);
  });

  test('says that the data are invented where they are', () => {
    expect(said(record.cover)).toContain('The van, the people and the figures in this record are invented.');
  });

  test('says that the fitter worked alone where no second person looked', async () => {
    const alone = recordDocument(await sampleJob({ worksAlone: true }), { ...input, worksAlone: true });
    expect(said(alone.cover)).toContain('The fitter worked alone');
    expect(said(record.cover)).not.toContain('worked alone');
    expect(alone.sections.find((s) => s.title === 'Signatures')!.blocks[0]).toMatchObject({
      signatures: { length: 1 },
    });
  });

  test('says when the key was made for the occasion', () => {
    expect(said(record.cover)).not.toContain('made for the occasion');
  });

  test('counts an unproven reading apart from those that pass', () => {
    expect(said(record.cover)).toContain('8 of 9 readings pass');
    expect(said(record.cover)).toContain('1 unproven');
  });
});

describe('the sections', () => {
  test('stand with the owner’s first, then in the order of the work', () => {
    expect(record.sections.map((s) => s.title)).toEqual([
      'For the owner',
      'Circuit',
      'Sheet',
      'Steps',
      'Terminations',
      'Readings',
      'Defects and mends',
      'Signatures',
      'How to check this record',
      'To cut out',
    ]);
  });

  test('print every line of the sheet with its source', async () => {
    const job = await sampleJob();
    const sheet = said(section('Sheet'));
    for (const { line } of job.sheet) {
      expect(sheet).toContain(line.title);
      expect(sheet).toContain(unitsFirst(line.formula, 'imperial'));
    }
    expect(sheet).toMatch(/\[\d+(, \d+)*\]/);
    expect(sheet).toContain('NEC');
  });

  test('print a reading beside what was expected, its limit, its error, its verdict and its meter', () => {
    const texts = textsOf(section('Readings'));
    const at = texts.indexOf('G3');
    expect(texts.slice(at, at + 14)).toEqual(
      expect.arrayContaining(['0.1 Ω', 'at most 0.5 Ω', '0.13 Ω', '± 0.02 Ω', 'pass', 'Ines Okafor, TLV-07']),
    );
    expect(said(section('Readings'))).toContain('12 January 2026');
  });

  test('keep the reading that failed, the one that was struck, and what was found and done', () => {
    const text = said(section('Defects and mends'));
    for (const kept of [
      '4.87 Ω',
      '12.1 V',
      'The range switch stood on direct voltage.',
      'two strands under the screw',
      'ground loose at outlet 2',
    ])
      expect(text).toContain(kept);
  });

  test('print a torque as it was typed and in the other unit, with its limits in both, the typed one first', () => {
    const text = said(section('Terminations'));
    expect(text).toContain('14 in-lbf (1.58 N·m)');
    expect(text).toContain('13.3 to 15 in-lbf (1.5 to 1.7 N·m)');
    expect(text).toContain('TLV-11');
  });

  test('tell what was chosen at a termination over the whole width, since it has neither limit nor tool', () => {
    const job = assess(foldJob(played()))!;
    const { blocks } = recordDocument(job, input).sections.find((s) => s.title === 'Terminations')!;
    const rows = blocks.flatMap((b) => (b.kind === 'table' ? b.rows : []));
    expect(rows).toContainEqual({
      note: 'A charger or converter on a battery of the van, besides the other sources: None, or its case is plastic or double-insulated',
    });
    const measured = rows.filter(Array.isArray);
    expect(measured.length).toBeGreaterThan(10);
    expect(measured.filter(([, , limit, tool]) => limit === '' && tool === '')).toEqual([]);
  });

  test('tell a stranger how to check the file, with both fingerprints and the newest digest', async () => {
    const text = said(section('How to check this record'));
    expect(text).toContain('pdfsig RECORD.pdf');
    expect(text).toContain('openssl cms -verify');
    expect(text).toContain(Array(8).fill('bbbbbbbb').join(' '));
    expect(text.replaceAll(' ', '')).toContain((await sampleJob()).log.entries.at(-1)!.digest);
  });

  test('tell the owner what may run together and what may not', () => {
    const text = said(section('For the owner'));
    expect(text).toContain('pressing: task lamp, nipping-press heater and battery charger');
    expect(text).toContain('glue pot with nipping-press heater');
    // Under the ten sentences, as on the owner's page.
    expect(text).toContain('does not guard you between hot and neutral');
  });

  test('say on page one what may run together, what the breaker would not stop, and what to do when the device trips', () => {
    const text = said(record.cover);
    expect(text).toContain('As planned, pressing: task lamp, nipping-press heater and battery charger');
    expect(text).toContain(
      'Not together: glue pot with nipping-press heater. The sheet was worked out for the plan',
    );
    expect(text).toContain(
      'Not planned, though the breaker would not stop it: everything at once, 12.4 A of 15 A',
    );
    expect(text).toContain('Press TEST on the device');
    expect(text).toContain('unplug everything and reset once');
  });

  test('end with labels and a card to cut out, the wording beside the inlet marked for checking', () => {
    const text = said(section('To cut out'));
    expect(text).toContain('110–125-VOLT AC, 60 HZ, 15 AMPERE SUPPLY');
    expect(text).toContain('from memory: check it');
    expect(text).toContain('CORD IN: do not drive');
    expect(text).toMatch(/DO NOT DRILL[\s\S]*120 V cable behind this/);
    const alone = assess(foldJob(played(demoCircuit({ run: demoCircuit().run.slice(0, 1), together: [] }))))!;
    expect(said(recordDocument(alone, input))).toContain('1 outlet; ground-fault device');
    expect(text).toMatch(/Job 2026-014, revision 1, 4 March 2026/);
    expect(text).toContain('May run together: gluing: task lamp, glue pot and battery charger');
    expect(text).not.toContain('glue pot, nipping-press heater');
    const cards = section('To cut out').blocks.flatMap((b) => (b.kind === 'cut-outs' ? b.cards : []));
    expect(cards.find((card) => card.purpose === 'Beside the inlet')!.leastHeightMm).toBeGreaterThanOrEqual(
      44.45,
    );
  });

  test('show each photo once, behind the steps of its stage, under the number that the steps name it by', async () => {
    const job = await sampleJob({ photos: 40 });
    const whole = recordDocument(job, input);
    const blocks = whole.sections.find((s) => s.title === 'Steps')!.blocks;
    const shown = blocks.flatMap((block, k) =>
      block.kind === 'photos' ? block.photos.map((photo) => ({ photo, before: said([blocks[k - 1]!]) })) : [],
    );
    expect(shown.map(({ photo }) => Number(photo.caption.split(' ')[0])).sort((a, b) => a - b)).toEqual(
      Array.from({ length: 40 }, (_, k) => k + 1),
    );
    for (const { photo, before } of shown) {
      const entry = job.log.photos.find((e) => e.body.photo === photo.id)!;
      const { step } = job.steps.get(entry.subject.slice('step:'.length))!;
      expect(before).toContain(step.title);
      expect(before).toContain(stages[step.stage]);
      expect(`${photo.caption} ${photo.note}`).toContain(step.number);
    }
    expect(said(blocks)).toContain('1  The opening before the seal');
    expect(whole.sections.map((s) => s.title)).not.toContain('Other photos');
  });

  test('show the photos of terminations with the terminations', () => {
    const job = assess(foldJob(played()))!;
    const whole = recordDocument(job, input);
    const numbers = (title: string) =>
      whole.sections
        .find((s) => s.title === title)!
        .blocks.flatMap((b) => (b.kind === 'photos' ? b.photos : []))
        .map((photo) => photo.caption.split(' ')[0]);
    const landed = job.log.photos.filter(
      (e) => job.steps.get(e.subject.slice('step:'.length))?.step.stage === 'terminations',
    );
    expect(landed.length).toBeGreaterThan(0);
    expect(numbers('Terminations')).toHaveLength(landed.length);
    expect(numbers('Steps')).toHaveLength(job.log.photos.length - landed.length);
    for (const number of numbers('Terminations'))
      expect(said(whole.sections.find((s) => s.title === 'Terminations')!)).toContain(`photo ${number}`);
  });

  test('keep a photo that no step has in a section of its own, and say where there is no photo at all', async () => {
    const job = await sampleJob();
    const [first, ...rest] = job.log.photos;
    const photos = [{ ...first!, subject: 'reading:ground.outlet2' }, ...rest];
    const other = recordDocument({ ...job, log: { ...job.log, photos } }, input).sections.find(
      (s) => s.title === 'Other photos',
    )!;
    expect(other.blocks).toMatchObject([{ kind: 'photos', photos: [{ id: first!.body.photo }] }]);
    const none = recordDocument(await sampleJob({ photos: 0 }), input);
    expect(said(none)).toContain('No photo was taken.');
    expect(said(record)).not.toContain('No photo was taken.');
  });
});

test('a torque stands beside the tool that its entry keeps, though the shop that issues has none such, or another serial number for it today', () => {
  const job = assess(foldJob(played()))!;
  const { id, name, serial, calibrated } = demoDriver;
  for (const instruments of [[], [{ id, name, calibrated, serial: 'TL-9999' }]]) {
    const { sections } = recordDocument(job, { ...input, instruments });
    const text = said(sections.find(({ title }) => title === 'Terminations')!);
    expect(text.split(serial).length).toBeGreaterThan(10);
    expect(text).not.toContain('TL-9999');
  }
});
