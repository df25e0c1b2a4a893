import type { FastifyInstance } from 'fastify';
import { type Circuit, circuitSchema } from '../circuit/circuit.js';
import { type Answer, diagnose } from '../faults/diagnose.js';
import type { ElectricalCircuit } from '../meter/electrical-circuit.js';
import type { ReadingsFile } from '../meter/readings-file.js';
import { suspectsIn } from '../steps/suspects.js';
import { flat } from './circuit-form.js';
import { typedOf } from './form.js';
import { render } from './page.js';
import {
  afterReadingsAct,
  counts,
  firstReadingsTyped,
  pointOptions,
  readingsFileFrom,
  testWords,
} from './readings-without-job-form.js';
import type { Services } from './services.js';
import { suspectModels } from './suspect-model.js';

const view = 'readings-without-job';

/** `/readings-without-a-job`: a circuit and a few readings in, an answer out; nothing is kept. */
export function registerReadingsWithoutJob(app: FastifyInstance, services: Services): void {
  app.get('/readings-without-a-job', async (_request, reply) => {
    const typed = firstReadingsTyped(services.store.shop.state().units);
    return render(reply, view, pageModel(typed), { typed });
  });

  app.post('/readings-without-a-job', async (request, reply) => {
    const { act = 'answer', ...sent } = flat(typedOf(request));
    if (act !== 'answer') {
      const typed = afterReadingsAct(sent, act);
      return render(reply, view, pageModel(typed), { typed });
    }
    const file = readingsFileFrom(sent);
    if (!file.ok)
      return render(reply, view, pageModel(sent), { status: 422, typed: sent, issues: file.issues });
    return render(reply, view, { ...pageModel(sent), answer: answerModel(file.value) }, { typed: sent });
  });
}

function pageModel(typed: Readonly<Record<string, string>>) {
  const { outlets, rows } = counts(typed);
  return {
    title: 'Readings without a job',
    wide: true,
    answer: undefined as unknown,
    outlets: Array.from({ length: outlets }, (_, k) => k),
    rows: Array.from({ length: rows }, (_, k) => k),
    points: pointOptions(
      Array.from({ length: outlets }, (_, k) => typed[`outlet.${k}.device`] ?? 'receptacle'),
    ),
  };
}

function answerModel(file: ReadingsFile) {
  const answer = diagnose(file);
  const next = answer.nextReading;
  return {
    verdict: answer.verdict,
    sentence: sentenceOf(answer),
    broken: answer.limits.filter((l) => l.verdict === 'fail').map((l) => l.text),
    askFirst: answer.askFirst.map((a) => a.text),
    suspects: suspectModels(sketchOf(file.circuit), suspectsIn(answer)),
    joints: answer.joints.filter((j) => j.what !== 'none').map(jointText),
    notLookedAt: answer.notLookedAt,
    missing: answer.missing.slice(0, 8).map(testWords),
    next: next && { words: testWords(next), fields: nextFields(next) },
  };
}

function sentenceOf({ verdict, missing }: Answer): string {
  if (verdict === 'pass')
    return 'Every rule is met by these readings, the meter’s error counted against each.';
  if (verdict === 'fail') return 'A rule is broken for certain.';
  return missing.length > 0 ? 'These readings cannot tell: some are missing.' : 'These readings cannot tell.';
}

const jointWords = {
  look: 'look at it',
  mend: 'mend it',
  'meter-too-coarse': 'the meter is too coarse to say more',
} as const;

function jointText({ at, ohms, what }: Answer['joints'][number]): string {
  const size = `about ${Number(ohms.toPrecision(2))} Ω more than the circuit predicts`;
  return `${at.replace('outlet', 'Outlet ')}: ${size}${what === 'none' ? '' : `; ${jointWords[what]}`}.`;
}

/** The asked-for reading as fields of a row, where a row can hold it. */
function nextFields(next: NonNullable<Answer['nextReading']>): [string, string][] {
  if (next.test === 'observation') return [];
  const amps = next.test === 'loaded-voltage' ? String(next.amps) : '';
  return [
    ['next.test', next.test],
    ['next.from', next.from],
    ['next.to', next.to],
    ['next.amps', amps],
  ];
}

/** A circuit that can be drawn, with what a readings file does not say filled in plainly; only the pictures use it. */
function sketchOf(electrical: ElectricalCircuit): Circuit {
  const near = <T extends number>(awg: number, sizes: readonly T[]): T =>
    sizes.reduce((best, size) => (Math.abs(size - awg) < Math.abs(best - awg) ? size : best));
  const feeds = [14, 12, 10, 8, 6] as const;
  const amps = near(electrical.inlet.amps, [15, 20, 30]);
  const box = { volumeCm3: 300, material: 'plastic', clamps: 'internal' } as const;
  return circuitSchema.parse({
    vehicleUse: 'work-van',
    supply: { amps, loopOhms: Math.min(2, electrical.supply.loopOhms) },
    cord: {
      awg: near(electrical.cord.awg, [18, 16, ...feeds]),
      lengthM: inRange(electrical.cord.lengthM, 0.3, 60),
      typeLetters: 'SJTW',
    },
    inlet: { amps, side: 'left', fromRearM: 1, heightM: 1, panel: 'trim-piece', behindPanel: 'not said' },
    entry: { kind: 'cord-grip', holeMm: 20 },
    breaker: { amps: near(electrical.breaker?.amps ?? amps, [15, 20, 30]), place: 'breaker' },
    bond: { awg: near(electrical.bond.awg, feeds), lengthM: inRange(electrical.bond.lengthM, 0.05, 10) },
    cable: {
      method: 'stranded-multiconductor',
      strands: 'stranded',
      insulationC: 90,
      outsideDiameterMm: 10,
      supportSpacingM: 0.4,
      supportFromBoxM: 0.2,
      bendRadiusMm: 60,
    },
    run: electrical.run.slice(0, 8).map((o, k) => ({
      id: `outlet${k + 1}`,
      place: `outlet ${k + 1}`,
      device: o.device,
      amps: 15,
      terminals: 'clamp-plate',
      feed: { awg: near(o.feed.awg, feeds), lengthM: inRange(o.feed.lengthM, 0.05, 30) },
      box,
    })),
  });
}

function inRange(value: number, low: number, high: number): number {
  return Math.min(high, Math.max(low, value));
}
