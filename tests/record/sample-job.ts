import type { Buffer } from 'node:buffer';
import { createHash } from 'node:crypto';
import sharp from 'sharp';
import { sheet } from '../../src/circuit/sheet.js';
import { seal } from '../../src/logbook/chain.js';
import type {
  Answer,
  Entry,
  EntryBody,
  EntryKind,
  EntryOf,
  InstrumentSnapshot,
} from '../../src/logbook/entry.js';
import { foldJob } from '../../src/logbook/job-log.js';
import type { Assessment, ReadingStanding, StageStanding, StepStanding } from '../../src/steps/assessment.js';
import {
  type Ask,
  type PlannedReading,
  type StageId,
  type Step,
  stageIds,
  stages,
} from '../../src/steps/step.js';
import { commonPractice, judgement } from '../../src/trade/source.js';
import { demoCircuit } from '../circuit/demo-circuit.js';

/** A small but whole job by hand: every kind of entry that a record shows, on the demonstration's circuit. */

const circuit = demoCircuit();
const ines = { id: 'p1', name: 'Ines Okafor' };
const tam = { id: 'p2', name: 'Tam Whitlock' };
export const meter: InstrumentSnapshot = {
  id: 'i1',
  kind: 'multimeter',
  name: 'bench multimeter',
  serial: 'TLV-07',
  calibrated: '2026-01-12',
  ohms: { percent: 0.5, counts: 2, resolution: 0.01, overLimit: 40_000_000 },
  volts: { percent: 1, counts: 3, resolution: 0.1 },
};
export const driver = { id: 'i2', name: 'torque screwdriver', serial: 'TLV-11', calibrated: '2025-11-03' };

export const photoBytes = new Map<string, Buffer>();

/** A plain picture of one colour, as JPEG, by its digest. */
async function picture(hue: number, width = 480, height = 360): Promise<string> {
  const background = {
    r: (120 + hue * 12) % 256,
    g: Math.abs(140 - hue * 6),
    b: Math.abs(150 - hue * 14) % 256,
  };
  const bytes = await sharp({ create: { width, height, channels: 3, background } })
    .jpeg()
    .toBuffer();
  const id = createHash('sha256').update(bytes).digest('hex');
  photoBytes.set(id, bytes);
  return id;
}

export interface SampleWish {
  readonly worksAlone?: boolean;
  readonly note?: string;
  readonly photos?: number;
}

/** The assessment of the sample job. */
export async function sampleJob({
  worksAlone = false,
  note = 'As on the sheet.',
  photos = 5,
}: SampleWish = {}): Promise<Assessment> {
  const entries: Entry[] = [];
  const write = <K extends EntryKind>(
    kind: K,
    subject: string,
    body: EntryBody<K>,
    by = ines,
  ): EntryOf<K> => {
    const seq = entries.length + 1;
    const at = new Date(Date.UTC(2026, 2, 2, 9, 0) + seq * 11 * 60_000).toISOString();
    const placed = { kind, subject, body, job: '2026-014', at, by, key: `k${seq}` };
    const entry = seal(placed, entries.at(-1)) as unknown as EntryOf<K>;
    entries.push(entry);
    return entry;
  };
  write('job described', 'job', {
    vehicle: {
      description: 'Marginalia, a travelling book-repair workshop in a high-roof panel van',
      plate: 'MRG 1N4L',
      vin: '',
      invented: true,
    },
    owner: 'Odile Brandt',
    place: 'Thimble Lane, bay 2',
    fitter: ines.name,
    checker: worksAlone ? '' : tam.name,
  });
  write('circuit set', 'job', { circuit, rules: '2026.11', reason: '' });

  const lines = sheet(circuit);
  const conceded = lines.find((l) => l.concession === 'named-person' && l.verdict !== 'pass') ?? lines[0]!;
  const granted = write(
    'concession granted',
    `sheet:${conceded.id}`,
    { reason: 'The press and the kettle are never on together; the owner has the list.' },
    tam,
  );

  const standings: StepStanding[] = [];
  const doStep = (step: Step, answers: Record<string, Answer>) => {
    const done = write('step done', `step:${step.id}`, { answers });
    standings.push({ step, status: 'done', reopened: [], because: [], done });
  };
  for (const step of plainSteps()) doStep(step, plainAnswers(step, note));
  for (let k = 0; k < photos; k += 1) {
    const tall = k === 1;
    const photo = await picture(k, tall ? 300 : 480, tall ? 460 : 360);
    write('photo added', `step:${standings[k % standings.length]!.step.id}`, {
      photo,
      original: photo,
      caption:
        k % 2 ? '' : `The ${['opening before the seal', 'grommet', 'first box', 'bond', 'labels'][k % 5]}`,
      widthPx: tall ? 300 : 480,
      heightPx: tall ? 460 : 360,
    });
  }
  for (const [k, o] of circuit.run.entries()) {
    const step = terminationStep(o.id, o.place, k + 1);
    doStep(step, terminationAnswers(step));
  }

  const readings: ReadingStanding[] = [];
  for (const { planned, shown, uncertainty } of plannedReadings()) {
    const body = { shown, note: '', ...(shown.kind === 'answer' ? {} : { instrument: meter }) };
    const earlier: EntryOf<'reading taken'>[] = [];
    if (planned.id === 'ground.outlet2') {
      const bad = write('reading taken', `reading:${planned.id}`, {
        ...body,
        shown: { kind: 'ohms', ohms: 4.87 },
      });
      const defect = write('defect raised', `reading:${planned.id}`, {
        what: '4.87 Ω from the inlet’s ground pin to outlet 2, where 0.1 Ω was expected.',
        reading: bad.seq,
        suspects: [
          {
            text: 'ground loose at outlet 2',
            lookAt: 'the green screw of outlet 2',
            probability: 0.81,
            faults: [],
          },
          { text: 'ground loose in the pigtail of outlet 1', lookAt: '', probability: 0.12, faults: [] },
        ],
      });
      write('defect reworked', `reading:${planned.id}`, {
        defect: defect.seq,
        found: 'The pigtail had two strands under the screw, the rest beside it.',
        done: 'Cut back, twisted, landed again at 1.6 N·m and pulled.',
        disturbs: [{ what: 'conductor-relanded', outlet: circuit.run[1]!.id }],
      });
      earlier.push(bad);
    }
    if (planned.id === 'volts.hn1') {
      const slip = write('reading taken', `reading:${planned.id}`, {
        ...body,
        shown: { kind: 'volts', volts: 12.1, lowImpedance: false },
      });
      write('reading struck', `reading:${planned.id}`, {
        reading: slip.seq,
        reason: 'The range switch stood on direct voltage.',
      });
    }
    const taken = write('reading taken', `reading:${planned.id}`, body);
    const unproven = planned.id === 'drop.outlet3';
    const concession = unproven
      ? write(
          'concession granted',
          `reading:${planned.id}`,
          { reason: 'The finer meter is away for calibration; the drop by the longer method is 3.1 V.' },
          tam,
        )
      : undefined;
    readings.push({
      planned,
      verdict: unproven ? 'unproven' : 'pass',
      taken,
      all: [...earlier, taken],
      remarks: unproven
        ? ['The meter’s error reaches across the limit: take it again with a finer meter.']
        : [],
      ...(uncertainty === undefined ? {} : { uncertainty }),
      ...(concession === undefined ? {} : { concession }),
    });
  }
  if (!worksAlone)
    write(
      'second look signed',
      'job',
      {
        statement: 'Looked at the work and at every reading, and read the concessions aloud.',
        signature: signature(tam.name),
      },
      tam,
    );
  return assessed(entries, standings, readings, conceded.id, granted);
}

function assessed(
  entries: Entry[],
  standings: readonly StepStanding[],
  readings: readonly ReadingStanding[],
  concededLine: string,
  granted: EntryOf<'concession granted'>,
): Assessment {
  const log = foldJob(entries);
  const stageList = stageIds.map(
    (id): StageStanding => ({
      id,
      title: stages[id],
      steps: standings.filter((s) => s.step.stage === id),
      done: true,
    }),
  );
  return {
    log,
    circuit: log.circuit!,
    sheet: sheet(log.circuit!).map((line) => ({
      line,
      met: true,
      ...(line.id === concededLine ? { concession: granted } : {}),
    })),
    stages: stageList,
    steps: new Map(standings.map((s) => [s.step.id, s])),
    readings: new Map(readings.map((r) => [r.planned.id, r])),
    defects: log.defects.map((defect) => ({
      defect,
      status: 'closed',
      title: 'Ground, inlet to outlet 2',
      rework: log.reworks.find((r) => r.body.defect === defect.seq)!,
    })),
    holds: [],
    stage: 'handover',
    next: undefined,
    barsIssue: [],
  };
}

/** A wave for each letter, as a hand would draw it. */
export function signature(name: string) {
  const strokes = [...name].map((letter, k): [number, number][] => {
    const x = 30 + (k * 520) / name.length;
    const up = 40 + ((letter.codePointAt(0) ?? 0) % 7) * 12;
    return [0, 1, 2, 3, 4, 5].map((n): [number, number] => [
      Math.min(600, x + n * (580 / name.length / 5)),
      130 - up * Math.abs(Math.sin(n * 1.3 + k)),
    ]);
  });
  return { name, strokes };
}

function baseStep(id: string, number: string, stage: StageId, title: string, asks: readonly Ask[]): Step {
  return {
    id,
    number,
    stage,
    title,
    do: ['Do it.'],
    why: 'Because.',
    rightWhen: ['It is right.'],
    cautions: [],
    sources: [judgement],
    asks,
    waitsFor: [],
    concession: 'never',
    readings: [],
    parts: [],
    basis: {},
  };
}

function plainSteps(): Step[] {
  const titles: Record<StageId, readonly string[]> = {
    sheet: ['Read the sheet with the owner', 'Name every other source'],
    placement: ['Hold the inlet to the trim piece', 'Look behind the panel'],
    opening: ['Pilot and hole', 'Bare edge painted', 'Hose test'],
    cable: ['Grommet and strain relief', 'Supports and bends'],
    terminations: [],
    order: ['Inlet, breaker, ground-fault device, run'],
    dead: ['The leads and the meter proven'],
    live: ['Supply wired right before the cord goes in'],
    handover: ['Labels', 'Trim on, then the short repeat'],
  };
  return stageIds.flatMap((stage) =>
    titles[stage].map((title, k) =>
      baseStep(`${stage}-${k + 1}`, `${stage.charAt(0).toUpperCase()}${k + 1}`, stage, title, [
        { kind: 'tick', id: 'looked', label: 'looked at from both sides' },
        { kind: 'tick', id: 'kept', label: 'kept clear of fuel, exhaust and low-voltage wiring' },
        {
          kind: 'choice',
          id: 'surface',
          label: 'Surface',
          options: [
            { value: 'trim', label: 'replaceable trim piece' },
            { value: 'metal', label: 'body metal' },
          ],
        },
        {
          kind: 'value',
          id: 'length',
          label: 'Distance from the rear',
          quantity: 'length',
          units: { metric: 'mm', imperial: 'in' },
          min: 0.1,
          max: 3,
          limitSource: commonPractice,
        },
        { kind: 'note', id: 'note', label: 'Note', optional: true },
      ]),
    ),
  );
}

function plainAnswers(step: Step, note: string): Record<string, Answer> {
  return {
    looked: { kind: 'tick' },
    kept: { kind: 'tick' },
    surface: { kind: 'choice', value: 'trim' },
    length: { kind: 'value', si: 55.1 * 0.0254, typed: '55.1', unit: 'in' },
    ...(step.stage === 'opening' ? { note: { kind: 'note' as const, text: note } } : {}),
  };
}

function terminationStep(id: string, place: string, number: number): Step {
  const screws = [
    'hot in, brass LINE',
    'neutral in, silver LINE',
    'hot out, brass LOAD',
    'neutral out, silver LOAD',
    'pigtail, green',
  ];
  return baseStep(
    `land-${id}`,
    `T${number}`,
    'terminations',
    `Outlet ${number}, ${place}`,
    screws.flatMap((screw, k): Ask[] => [
      {
        kind: 'value',
        id: `torque-${k}`,
        label: `${screw}: torque`,
        quantity: 'torque',
        units: { metric: 'N·m', imperial: 'in-lbf' },
        min: 1.5,
        max: 1.7,
        limitSource: commonPractice,
        instrument: 'torque-driver',
      },
      { kind: 'tick', id: `pull-${k}`, label: `${screw}: pulled and held` },
    ]),
  );
}

function terminationAnswers(step: Step): Record<string, Answer> {
  return Object.fromEntries(
    step.asks.map((ask): [string, Answer] => [
      ask.id,
      ask.kind === 'tick'
        ? { kind: 'tick' }
        : { kind: 'value', si: 1.582, typed: '14', unit: 'in-lbf', instrument: driver.id },
    ]),
  );
}

type Shown = EntryBody<'reading taken'>['shown'];

function plannedReadings(): { planned: PlannedReading; shown: Shown; uncertainty?: number }[] {
  const planned = (
    id: string,
    code: string,
    stage: 'dead' | 'live',
    title: string,
    more: Partial<PlannedReading>,
  ): PlannedReading => ({
    id,
    code,
    step: 'x',
    stage,
    title,
    test: 'resistance',
    expected: { value: 0.1, text: '0.1 Ω' },
    limit: { upper: 0.5, text: 'at most 0.5 Ω' },
    rule: 'ground-path',
    source: judgement,
    required: true,
    concession: 'never',
    instrument: 'ohms',
    lowImpedance: 'never',
    cautions: [],
    mistakes: [],
    parts: [],
    basis: {},
    disturbedBy: [],
    ...more,
  });
  const dead = circuit.run.map((_, k) => ({
    planned: planned(`ground.outlet${k + 1}`, `G${k + 1}`, 'dead', `Ground, inlet to outlet ${k + 1}`, {
      from: 'inlet.ground',
      to: `outlet${k + 1}.ground`,
    }),
    shown: { kind: 'ohms', ohms: Number((0.07 + 0.03 * k).toFixed(2)) } as Shown,
    uncertainty: 0.0204,
  }));
  const apart = {
    planned: planned('apart', 'N1', 'dead', 'Neutral and ground apart in the van', {
      rule: 'neutral-apart',
      expected: { value: null, text: 'OL' },
      limit: { lower: 1e6, text: 'at least 1 MΩ' },
    }),
    shown: { kind: 'ohms', ohms: null, rangeOhms: 40_000_000 } as Shown,
  };
  const volts = circuit.run.map((_, k) => ({
    planned: planned(`volts.hn${k + 1}`, `V${k + 1}`, 'live', `Hot to neutral at outlet ${k + 1}`, {
      test: 'voltage',
      rule: 'polarity',
      expected: { value: 119.8, text: '119.8 V' },
      limit: { lower: 104, upper: 132, text: '104 to 132 V' },
    }),
    shown: { kind: 'volts', volts: Number((119.6 - 0.1 * k).toFixed(1)), lowImpedance: false } as Shown,
    uncertainty: 1.496,
  }));
  const drop = {
    planned: planned('drop.outlet3', 'D1', 'live', 'Drop at outlet 3 under load', {
      test: 'loaded-voltage',
      rule: 'drop',
      amps: 12.5,
      expected: { value: 115.4, text: '115.4 V at 12.5 A' },
      limit: { lower: 114, text: 'at least 114 V' },
      concession: 'named-person',
    }),
    shown: { kind: 'loaded-volts', volts: 115.1, amps: 12.5 } as Shown,
    uncertainty: 1.451,
  };
  const trips = {
    planned: planned('trips', 'F1', 'live', 'Everything behind the device dies on TEST', {
      test: 'observation',
      rule: 'ground-fault-device',
      expected: { value: true, text: 'yes' },
      limit: { answer: true, text: 'must be yes' },
    }),
    shown: { kind: 'answer', answer: true } as Shown,
  };
  return [...dead, apart, ...volts, drop, trips];
}
