import { designAmps } from '../../circuit/allowed-set.js';
import type { Circuit, Outlet } from '../../circuit/circuit.js';
import { loopShare, testDay } from '../../circuit/loop-share.js';
import { numberText, uncapital } from '../../circuit/quantity-text.js';
import { supplyGivesWay, unplugFirst } from '../../faults/first-of-all.js';
import { testLoadA } from '../../meter/schedule.js';
import { readingLimits } from '../../trade/reading-limits.js';
import { feedsUpTo, wholeRun } from '../content/circuit-parts.js';
import { cordFacts, groundFaultOutlet, outletName, runFacts } from '../content/figures.js';
import { from } from '../content/sources.js';
import { boxOpened, cordChanged, deviceTouched, relandedAt, relandedUpTo, supplyOnly } from './disturbers.js';
import { supplyVoltsId } from './one-supply.js';
import { answers, liveCautions, type ReadingDraft, readingDraft } from './reading-draft.js';

/** What a load shows: that the device holds, and the volts that joints take. */
export function loadedReadings(circuit: Circuit): ReadingDraft[] {
  const last = circuit.run.at(-1)!;
  const device = groundFaultOutlet(circuit);
  const n = circuit.run.length;
  return [
    ...(device
      ? [
          readingDraft({
            id: 'holds-under-load',
            code: 'LH',
            step: 'under-load',
            stage: 'live',
            title: `The device holds with the load at ${outletName(circuit, last)}`,
            test: 'observation',
            what: 'holds-under-load',
            question: `Does it hold with a load of ${testLoadA} A or more at ${outletName(circuit, last)}?`,
            from: `outlet${n}.hot`,
            to: `outlet${n}.neutral`,
            amps: testLoadA,
            asked: { test: 'observation', what: 'holds-under-load', at: `outlet${n}`, amps: testLoadA },
            outlet: last.id,
            judging: answers(true),
            rule: 'ground-fault-device',
            source: from.groundFault,
            concession: 'named-person',
            whenFails: unplugFirst,
            cautions: liveCautions,
            parts: [`outlet:${last.id}`],
            basis: wholeRun(circuit),
            disturbedBy: [...relandedAt(circuit.run), deviceTouched],
          }),
        ]
      : []),
    ...circuit.run.flatMap((o) => loadedAt(circuit, o, o === last)),
  ];
}

function loadedAt(circuit: Circuit, o: Outlet, required: boolean): ReadingDraft[] {
  const k = circuit.run.indexOf(o) + 1;
  const lower = readingLimits.supplyLow.value;
  const most = numberText((circuit.supply.volts * readingLimits.drop.value) / 100);
  const leastV = leastNeutralV(circuit, k - 1);
  const shared = {
    step: 'under-load',
    stage: 'live',
    test: 'loaded-voltage',
    amps: testLoadA,
    outlet: o.id,
    rule: 'drop',
    concession: 'named-person',
    cautions: liveCautions,
    parts: ['supply', 'cord', ...feedsUpTo(circuit, o), `outlet:${o.id}`],
    basis: { ...runFacts(circuit, k, true), ...cordFacts(circuit) },
    disturbedBy: [...relandedUpTo(circuit, o), deviceTouched, boxOpened, cordChanged],
  } as const;
  const asked = (a: string, b: string) =>
    ({ test: 'loaded-voltage', from: `outlet${k}.${a}`, to: `outlet${k}.${b}`, amps: testLoadA }) as const;
  return [
    readingDraft({
      ...shared,
      id: `loaded.hot-neutral.${o.id}`,
      code: `LD${k}`,
      title: `Volts hot to neutral under load at ${outletName(circuit, o)}`,
      from: `outlet${k}.hot`,
      to: `outlet${k}.neutral`,
      asked: asked('hot', 'neutral'),
      fullAmps: designAmps(circuit),
      required,
      beside: {
        law: 'no-load',
        slot: `voltage.hot-neutral.${o.id}`,
        loadedSupply: loadedSupplyId,
        supply: supplyVoltsId,
      },
      judging: () => ({
        limit: {
          lower,
          text: `no more than ${most} V (${readingLimits.drop.value} % of ${circuit.supply.volts} V) under what it shows without load, and no less than ${lower} V`,
        },
      }),
      source: readingLimits.drop.source,
      mistakes: ['two-ranges', 'wrong-row'],
    }),
    readingDraft({
      ...shared,
      id: `loaded.neutral-ground.${o.id}`,
      code: `LN${k}`,
      title: `Volts neutral to ground under load at ${outletName(circuit, o)}`,
      from: `outlet${k}.neutral`,
      to: `outlet${k}.ground`,
      asked: asked('neutral', 'ground'),
      required: false,
      beside: {
        law: 'neutral-drop',
        slot: `voltage.neutral-ground.${o.id}`,
        loadedSupply: loadedSupplyId,
        supply: supplyVoltsId,
      },
      whenFails: joinedNearby,
      judging: (expected) => ({
        limit: {
          lower: leastV,
          text: `no less than ${leastV} V at ${testLoadA} A, the neutral’s own drop`,
          growsWithLoad: true,
        },
        look: {
          over: Number(
            (
              (typeof expected === 'number' ? expected : 0) +
              readingLimits.unexplainedLook.value * testLoadA
            ).toFixed(1),
          ),
          text: 'The neutral drops more than this circuit predicts: look for a warm silver screw on the way.',
        },
      }),
      source: readingLimits.unexplainedLook.source,
      mistakes: ['zero-under-load', 'two-ranges'],
    }),
    ...(required ? [loadedSupply(circuit)] : []),
  ];
}

/** What comes first where the neutral seems to drop nothing under its load. */
const joinedNearby = `Is the load on? Then neutral and ground are joined in the van or close ahead of it, or the ground is open there. Stop: ${uncapital(unplugFirst)}`;

/**
 * The least that neutral to ground shows at outlet `k` (from 0) under the test load, V: the van's neutral and half of the cord's, of
 * however stiff a supply. A join at the inlet leaves the van's own alone. @source arithmetic; no standard
 */
function leastNeutralV(circuit: Circuit, k: number): number {
  const { cordOhm, vanOhm } = loopShare(circuit, k, testDay);
  return Number((testLoadA * (vanOhm / 2 + cordOhm / 4)).toFixed(2));
}

const loadedSupplyId = 'loaded.supply';

function loadedSupply(circuit: Circuit): ReadingDraft {
  return readingDraft({
    id: loadedSupplyId,
    code: 'LS',
    step: 'under-load',
    stage: 'live',
    title: 'Volts hot to neutral at the supply, with the same load on',
    test: 'loaded-voltage',
    from: 'supply.hot',
    to: 'supply.neutral',
    amps: testLoadA,
    expects: circuit.supply.volts - testLoadA * circuit.supply.loopOhms,
    required: false,
    judging: () => ({
      limit: undefined,
      look: {
        under: readingLimits.supplyLow.value,
        text: `Under ${readingLimits.supplyLow.value} V: ${uncapital(supplyGivesWay)}`,
      },
    }),
    rule: 'drop',
    source: from.practice,
    concession: 'named-person',
    cautions: liveCautions,
    mistakes: ['two-ranges'],
    parts: ['supply'],
    disturbedBy: [supplyOnly],
  });
}
