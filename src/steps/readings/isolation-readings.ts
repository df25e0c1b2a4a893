import type { Circuit, Outlet } from '../../circuit/circuit.js';
import { readingLimits } from '../../trade/reading-limits.js';
import { outletName, runFacts } from '../content/figures.js';
import { boxOpened, deviceTouched, relandedAt, waterFound } from './disturbers.js';
import { atLeast, between, type ReadingDraft, readingDraft } from './reading-draft.js';
import { type Section, sectionsOf } from './run-sections.js';

/** Ground first: those two are the proof, the third is soft where electronics lie across it. */
const pairs = [
  ['hot', 'ground'],
  ['neutral', 'ground'],
  ['hot', 'neutral'],
] as const;

/** Where the three pairs are read, and what a join there would mean. */
interface Place {
  readonly id: string;
  readonly title: string;
  readonly step: string;
  /** A point's name for a conductor here. */
  readonly point: (conductor: 'hot' | 'neutral' | 'ground') => string;
  readonly outlet?: string;
  /** Electronics of a device lie between hot and neutral. */
  readonly electronics: boolean;
  readonly outlets: readonly Outlet[];
  readonly parts: readonly string[];
  readonly disturbedBy: readonly string[];
}

/** The three pairs at the inlet, on LOAD of each ground-fault device, and at its face: with open contacts three circuits. */
export function isolationReadings(circuit: Circuit): ReadingDraft[] {
  const sections = sectionsOf(circuit);
  const devices = circuit.run.filter((o) => o.device === 'gfci-receptacle');
  const places = [
    ...sections.map((s) => sectionPlace(circuit, s)),
    ...devices.map((o) => slotsPlace(circuit, o, 'face', relandedAt([o]))),
  ];
  return places.flatMap((place, p) => pairs.map(([a, b], i) => reading(circuit, place, a, b, 3 * p + i + 1)));
}

/** Hot and neutral to ground in the slots of the last outlet: what the repeat with the trim on reads behind the device. */
export function lastSlotsIsolation(circuit: Circuit): ReadingDraft[] {
  const last = circuit.run.at(-1)!;
  const place = slotsPlace(circuit, last, 'last', relandedAt(circuit.run));
  return pairs.slice(0, 2).map(([a, b], i) => reading(circuit, place, a, b, 4 + i));
}

function sectionPlace(circuit: Circuit, { device, outlets }: Section): Place {
  const feeds = outlets.map((o) => `feed:${o.id}`);
  if (device === undefined) {
    return {
      id: 'inlet',
      title: 'at the inlet',
      step: 'isolation-at-inlet',
      point: (c) => `inlet.${c}`,
      electronics: outlets.some((o) => o.device === 'gfci-receptacle'),
      outlets,
      parts: ['inlet', ...feeds],
      disturbedBy: [...relandedAt(outlets), deviceTouched, waterFound, boxOpened],
    };
  }
  const at = `outlet${circuit.run.indexOf(device) + 1}`;
  return {
    id: `load.${device.id}`,
    title: `on LOAD of ${outletName(circuit, device)}`,
    step: 'isolation-behind',
    point: (c) => (c === 'ground' ? `${at}.ground` : `${at}.load.${c}`),
    outlet: device.id,
    electronics: true,
    outlets: [device, ...outlets],
    parts: [`outlet:${device.id}`, ...feeds, ...outlets.map((o) => `outlet:${o.id}`)],
    disturbedBy: [...relandedAt([device, ...outlets]), deviceTouched, waterFound],
  };
}

function slotsPlace(circuit: Circuit, o: Outlet, word: 'face' | 'last', relanded: readonly string[]): Place {
  const at = `outlet${circuit.run.indexOf(o) + 1}`;
  return {
    id: `${word}.${o.id}`,
    title: `${word === 'face' ? 'at the face of' : 'in the slots of'} ${outletName(circuit, o)}`,
    step: 'isolation-at-inlet',
    point: (c) => `${at}.${c}`,
    outlet: o.id,
    electronics: true,
    outlets: [o],
    parts: [`outlet:${o.id}`],
    disturbedBy: [...relanded, deviceTouched, waterFound],
  };
}

/** Some kΩ may be the device's electronics, a join or damp: the meter alone does not tell which, but exchanged probes may. */
const besideElectronics: ReadingDraft['judging'] = () => ({
  limit: {
    lower: readingLimits.isolationWithElectronics.value,
    text: 'over 1 kΩ: electronics of a ground-fault device lie across it, so this pair is no proof of isolation',
  },
  look: {
    under: readingLimits.isolation.value,
    text: 'Under 1 MΩ: exchange the probes and read again. Electronics read otherwise then; a join or damp reads alike both ways: look into the boxes of this part before it gets power.',
  },
});

function reading(
  circuit: Circuit,
  place: Place,
  a: 'hot' | 'neutral',
  b: 'neutral' | 'ground',
  number: number,
): ReadingDraft {
  const soft = b === 'neutral';
  const electronics = soft && place.electronics;
  const lower = electronics ? readingLimits.isolationWithElectronics : readingLimits.isolation;
  const upTo = circuit.run.indexOf(place.outlets.at(-1)!) + 1;
  return readingDraft({
    id: `isolation.${a}-${b}.${place.id}`,
    code: `I${number}`,
    step: place.step,
    stage: 'dead',
    title: `Isolation ${a} to ${b}, ${place.title}`,
    ...between('resistance', place.point(a), place.point(b)),
    ...(place.outlet ? { outlet: place.outlet } : {}),
    ...(electronics ? { expectsText: 'OL, or kΩ to MΩ through the electronics of the device' } : {}),
    judging: electronics ? besideElectronics : atLeast(lower.value, 'at least 1 MΩ'),
    rule: a === 'neutral' ? 'neutral-apart' : 'isolation',
    source: lower.source,
    concession: soft ? 'named-person' : 'never',
    mistakes: [
      ...(soft ? (['load-left-in', 'device-electronics'] as const) : []),
      'low-range-ol',
      'fingers',
      ...(place.step === 'isolation-at-inlet' && place.outlet ? ['shutter' as const] : []),
    ],
    parts: place.parts,
    basis: runFacts(circuit, upTo, true),
    disturbedBy: place.disturbedBy,
  });
}
