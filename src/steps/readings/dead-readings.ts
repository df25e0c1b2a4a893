import type { Circuit, Outlet } from '../../circuit/circuit.js';
import { readingLimits } from '../../trade/reading-limits.js';
import { deviceFacts, feedFacts, outletName } from '../content/figures.js';
import { bondTouched, boxOpened, deviceTouched, relandedAt, relandedUpTo, waterFound } from './disturbers.js';
import { atLeast, atMost, between, lineOver, type ReadingDraft, readingDraft } from './reading-draft.js';
import { reachedAt, type Section, sectionsOf } from './run-sections.js';

/** Every reading of the van that is taken with the cord out, ground first because every later verdict leans on it. */
export function deadReadings(circuit: Circuit): ReadingDraft[] {
  return [
    ...absenceOfVoltage(circuit),
    ...circuit.run.map((o) => groundPath(circuit, o)),
    bondPath(circuit),
    ...sectionsOf(circuit).flatMap((s) => s.outlets.flatMap((o) => poles(circuit, s, o))),
    ...isolation(circuit),
  ];
}

const runFacts = (circuit: Circuit, upTo: number): Record<string, string> => ({
  ...deviceFacts(circuit, upTo),
  ...feedFacts(circuit, upTo, true),
});
const feeds = (outlets: readonly Outlet[]): string[] => outlets.map((o) => `feed:${o.id}`);
const upTo = (circuit: Circuit, o: Outlet): readonly Outlet[] =>
  circuit.run.slice(0, circuit.run.indexOf(o) + 1);

function absenceOfVoltage(circuit: Circuit): ReadingDraft[] {
  const places = [
    { id: 'inlet', title: 'pins of the inlet', parts: ['inlet'], outlet: undefined },
    ...circuit.run.map((o) => ({
      id: o.id,
      title: outletName(circuit, o),
      parts: [`outlet:${o.id}`],
      outlet: o.id,
    })),
  ];
  return places.map((place, k) =>
    readingDraft({
      id: `absence-of-voltage.${place.id}`,
      code: `A${k + 1}`,
      step: 'absence-of-voltage',
      stage: 'dead',
      title: `Absence of voltage: ${place.title}`,
      test: 'voltage',
      question:
        'Hot–neutral, hot–ground and neutral–ground, AC and DC, with the test plug: write the largest.',
      ...(place.outlet ? { outlet: place.outlet } : {}),
      expects: 0,
      judging: atMost(readingLimits.dead.value, 'V'),
      rule: 'absence-of-voltage',
      source: readingLimits.dead.source,
      cautions: ['mains-kills', 'work-dead'],
      mistakes: ['blown-fuse', 'shutter', 'dc-selected', 'silence'],
      parts: place.parts,
      basis: deviceFacts(circuit, place.outlet ? k : 0),
      disturbedBy: [...relandedAt(circuit.run), deviceTouched, bondTouched, waterFound, boxOpened],
    }),
  );
}

function groundPath(circuit: Circuit, o: Outlet): ReadingDraft {
  const k = circuit.run.indexOf(o) + 1;
  return readingDraft({
    id: `ground-path.${o.id}`,
    code: `G${k}`,
    step: 'ground-path',
    stage: 'dead',
    title: `Ground: inlet to ${outletName(circuit, o)}`,
    ...between('resistance', 'inlet.ground', `outlet${k}.ground`),
    outlet: o.id,
    judging: atMost(readingLimits.groundPath.value, 'Ω', {
      above: readingLimits.groundPathLook.value,
      text: 'Higher than this circuit predicts: look at the splices and the pigtail on the way.',
    }),
    rule: 'ground-path',
    source: readingLimits.groundPath.source,
    mistakes: ['leads-not-nulled', 'buzzer', 'shutter'],
    parts: ['inlet', ...feeds(upTo(circuit, o)), `outlet:${o.id}`],
    basis: runFacts(circuit, k),
    disturbedBy: [
      ...relandedUpTo(circuit, o),
      boxOpened,
      ...(o.device === 'gfci-receptacle' ? [deviceTouched] : []),
    ],
  });
}

function bondPath(circuit: Circuit): ReadingDraft {
  const { awg, lengthM } = circuit.bond;
  return readingDraft({
    id: 'bond',
    code: 'B1',
    step: 'bond-path',
    stage: 'dead',
    title: 'Bond: inlet ground to a second bare spot of the body',
    ...between('resistance', 'inlet.ground', 'chassis'),
    judging: atMost(readingLimits.bond.value, 'Ω', {
      above: readingLimits.bondLook.value,
      text: 'Higher than this bond should be: look for paint under the ring, a spinning nut, a wrong washer.',
    }),
    rule: 'bond',
    source: readingLimits.bond.source,
    mistakes: ['own-bolt', 'paint', 'leads-not-nulled', 'ohms-on-live'],
    parts: ['inlet', 'bond'],
    basis: { 'bond gauge': `${awg} AWG`, 'bond length': `${lengthM} m` },
    disturbedBy: [bondTouched, boxOpened],
  });
}

function poles(circuit: Circuit, section: Section, o: Outlet): ReadingDraft[] {
  const k = circuit.run.indexOf(o) + 1;
  const from = section.device ? `LOAD of ${outletName(circuit, section.device)}` : 'inlet';
  const device = o.device === 'gfci-receptacle';
  const behind = section.device
    ? [...upTo(circuit, o)].slice(circuit.run.indexOf(section.device) + 1)
    : upTo(circuit, o);
  return (['hot', 'neutral'] as const).map((pole) =>
    readingDraft({
      id: `continuity.${pole}.${o.id}`,
      code: `${pole === 'hot' ? 'PH' : 'PN'}${k}`,
      step: section.device ? 'poles-behind' : 'poles-to-first',
      stage: 'dead',
      title: `${pole === 'hot' ? 'Hot' : 'Neutral'}: ${from} to ${device ? 'LINE of ' : ''}${outletName(circuit, o)}`,
      ...between('resistance', `${section.start}.${pole}`, `${reachedAt(circuit, o)}.${pole}`),
      outlet: o.id,
      judging: through,
      rule: 'continuity',
      source: readingLimits.conductorLook.source,
      mistakes: ['leads-not-nulled', ...(section.device ? ['shutter'] : ['breaker-off']), 'buzzer'],
      parts: [
        ...(section.device ? [`outlet:${section.device.id}`] : ['inlet', 'breaker']),
        ...feeds(behind),
        `outlet:${o.id}`,
      ],
      basis: runFacts(circuit, k),
      disturbedBy: [...relandedUpTo(circuit, o), deviceTouched, ...(section.device ? [] : [boxOpened])],
    }),
  );
}

/**
 * A pole is through or it is not; whether its joints are good shows only under load. The limit grows with what a long thin
 * cable must show, so that a sound one is never called open.
 */
export function through(expected: number | null | boolean): ReturnType<ReadingDraft['judging']> {
  const predicted = typeof expected === 'number' ? expected : 0;
  const upper = Number(Math.max(1, 2 * predicted).toFixed(2));
  const over = lineOver(predicted, readingLimits.conductorLook.value);
  return {
    limit: { upper, text: `through: no more than ${upper} Ω; its joints are proven under load` },
    look: { over, text: 'Higher than this circuit predicts: look at the screws and the strands on the way.' },
  };
}

/** Ground first: those two are the proof, the third is soft where electronics lie across it. */
const isolationPairs = [
  ['hot', 'ground'],
  ['neutral', 'ground'],
  ['hot', 'neutral'],
] as const;

function isolation(circuit: Circuit): ReadingDraft[] {
  const places = sectionsOf(circuit).flatMap((s) => [
    ...(s.outlets.length > 0 ? [sectionPlace(circuit, s)] : []),
    ...s.outlets.filter((o) => o.device === 'gfci-receptacle').map((o) => facePlace(circuit, o)),
  ]);
  // The inlet and LOAD come first in the numbers, the faces behind them.
  const ordered = [...places.filter((p) => !p.face), ...places.filter((p) => p.face)];
  return ordered.flatMap((place, p) =>
    isolationPairs.map(([a, b], i) => isolationReading(circuit, place, a, b, 3 * p + i + 1)),
  );
}

interface Place {
  readonly id: string;
  readonly title: string;
  /** A point's name for a conductor here. */
  readonly point: (conductor: 'hot' | 'neutral' | 'ground') => string;
  readonly step: string;
  readonly outlet: string | undefined;
  readonly electronics: boolean;
  readonly face: boolean;
  readonly outlets: readonly Outlet[];
  readonly disturbedBy: readonly string[];
}

function sectionPlace(circuit: Circuit, section: Section): Place {
  const last = section.outlets.findLast((o) => o.device === 'receptacle') ?? section.outlets.at(-1)!;
  const number = circuit.run.indexOf(last) + 1;
  const begin = reachedAt(circuit, last);
  const atInlet = section.device === undefined;
  return {
    id: atInlet ? 'inlet' : `load.${section.device.id}`,
    title: atInlet
      ? 'at the inlet'
      : `on LOAD of ${outletName(circuit, section.device)}, at ${outletName(circuit, last)}`,
    point: (c) => (atInlet ? `inlet.${c}` : c === 'ground' ? `outlet${number}.ground` : `${begin}.${c}`),
    step: atInlet ? 'isolation-at-inlet' : 'isolation-behind',
    outlet: atInlet ? undefined : last.id,
    electronics: !atInlet || section.outlets.some((o) => o.device === 'gfci-receptacle'),
    face: false,
    outlets: section.outlets,
    disturbedBy: [
      ...relandedAt([...(section.device ? [section.device] : []), ...section.outlets]),
      deviceTouched,
      waterFound,
      ...(atInlet ? [boxOpened] : []),
    ],
  };
}

function facePlace(circuit: Circuit, o: Outlet): Place {
  const number = circuit.run.indexOf(o) + 1;
  return {
    id: `face.${o.id}`,
    title: `at the face of ${outletName(circuit, o)}`,
    point: (c) => `outlet${number}.${c}`,
    step: 'isolation-behind',
    outlet: o.id,
    electronics: true,
    face: true,
    outlets: [o],
    disturbedBy: [...relandedAt([o]), deviceTouched, waterFound],
  };
}

function isolationReading(
  circuit: Circuit,
  place: Place,
  a: 'hot' | 'neutral',
  b: 'neutral' | 'ground',
  number: number,
): ReadingDraft {
  const soft = b === 'neutral';
  const electronics = soft && place.electronics;
  const lower = electronics ? readingLimits.isolationWithElectronics : readingLimits.isolation;
  const last = place.outlets.at(-1)!;
  return readingDraft({
    id: `isolation.${a}-${b}.${place.id}`,
    code: `I${number}`,
    step: place.step,
    stage: 'dead',
    title: `Isolation ${a} to ${b}, ${place.title}`,
    ...between('resistance', place.point(a), place.point(b)),
    ...(place.outlet ? { outlet: place.outlet } : {}),
    ...(electronics ? { expectsText: 'OL, or kΩ to MΩ through the electronics of the device' } : {}),
    judging: atLeast(
      lower.value,
      electronics
        ? 'over 1 kΩ: electronics of a ground-fault device lie across it, so this pair is no proof of isolation'
        : 'at least 1 MΩ',
    ),
    rule: a === 'neutral' ? 'neutral-apart' : 'isolation',
    source: lower.source,
    concession: soft ? 'named-person' : 'never',
    mistakes: [
      ...(soft ? ['load-left-in', 'device-electronics'] : []),
      'low-range-ol',
      'fingers',
      ...(place.outlet ? ['shutter'] : []),
    ],
    parts: [
      ...(place.outlet ? [`outlet:${place.outlet}`] : ['inlet']),
      ...(place.face ? [] : feeds(place.outlets)),
    ],
    basis: runFacts(circuit, circuit.run.indexOf(last) + 1),
    disturbedBy: place.disturbedBy,
  });
}
