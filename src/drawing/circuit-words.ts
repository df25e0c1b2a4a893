import { type Circuit, type Outlet, words } from '../circuit/circuit.js';
import { placeWords } from '../circuit/place-words.js';
import { capital, listText } from '../circuit/quantity-text.js';
import { inUnit } from '../circuit/units.js';
import type { CircuitDrawingInput, Progress } from './circuit-progress.js';
import { type Conductor, conductorsOf, type Place, placesOf, type Segment } from './place.js';

export const progressWords: Record<Progress, string> = {
  planned: 'planned',
  landed: 'landed and pulled',
  dead: 'proven dead',
  live: 'proven live',
};

/** How far a conductor of this part has come. Nobody lands or pulls a cord: it begins as it was bought. */
export function progressWord(segment: Segment, progress: Progress): string {
  return segment === 'cord' && progress === 'landed' ? 'as bought' : progressWords[progress];
}

/** What the marked parts are, on the page of a step, a reading or a part. */
export const focusWord = 'this page';

/** A length as the shop writes it: "7.6 m" or "25 ft". */
export function lengthWords(lengthM: number, unit: 'm' | 'ft' = 'm'): string {
  return inUnit('length', lengthM, unit, 1);
}

/** What stands beside a stop: its name, what it is, and where. */
interface StopWords {
  readonly name: string;
  readonly kind: readonly string[];
  readonly where: string;
}

export function stopWords(circuit: Circuit, place: Place): StopWords {
  const outlet = outletAt(circuit, place);
  if (outlet) {
    const kind = [...(outlet.device === 'gfci-receptacle' ? ['ground-fault'] : []), `${outlet.amps} A`];
    return named(`Outlet ${circuit.run.indexOf(outlet) + 1}`, kind, outlet.place);
  }
  if (place === 'inlet')
    return {
      name: 'Inlet',
      kind: [`${circuit.inlet.amps} A`],
      where: `${circuit.inlet.side.replace('-', ' ')} side`,
    };
  if (place === 'breaker') {
    const wire = circuit.inletWire ? [`${circuit.inletWire.awg} AWG to it`] : [];
    return named('Breaker', [`${circuit.breaker.amps} A`, ...wire], circuit.breaker.place);
  }
  return { name: 'Supply', kind: [`${circuit.supply.amps} A`, `${circuit.supply.volts} V`], where: '' };
}

/** A place that is called as the stop itself is not said twice. */
function named(name: string, kind: readonly string[], where: string): StopWords {
  return { name, kind, where: capital(where) === name ? '' : where };
}

/** Size and length of a segment: ["12 AWG", "2 m"]. */
export function segmentWords(circuit: Circuit, segment: Segment, unit: 'm' | 'ft' = 'm'): [string, string] {
  const id = segment.slice('feed:'.length);
  const length =
    segment === 'cord'
      ? circuit.cord
      : segment === 'bond'
        ? circuit.bond
        : circuit.run.find((o) => o.id === id)?.feed;
  if (!length) throw new RangeError(`the circuit has no segment ${segment}`);
  return [`${length.awg} AWG`, lengthWords(length.lengthM, unit)];
}

export function outletAt(circuit: Circuit, place: Place): Outlet | undefined {
  return circuit.run.find((o) => place === `outlet:${o.id}`);
}

/** One sentence a place, from the supply to the last outlet, then what is wrong, held and looked at. */
export function circuitDescription(input: CircuitDrawingInput): string {
  const { circuit, defects, holds, focus } = input;
  const parts = placesOf(circuit).map((place) => `${capital(partWords(input, place))}.`);
  const wrong = defects.map(
    (d) => `Defect at ${the(circuit, d.place)}${d.conductor ? `, ${d.conductor}` : ''}: ${d.word}.`,
  );
  const held = holds.map((h) => `Hold at ${the(circuit, h.place)}: ${h.word}.`);
  const now =
    focus === undefined ? [] : [`This page is about ${listText(focus.map((place) => the(circuit, place)))}.`];
  return [...parts, ...wrong, ...held, ...now].join(' ');
}

function the(circuit: Circuit, place: Place): string {
  return place.startsWith('outlet:') ? placeWords(circuit, place) : `the ${placeWords(circuit, place)}`;
}

/** A part in words, with what is proven of it: the part's name for a screen reader and as it is touched. */
export function partWords({ circuit, progress, lengthUnit }: CircuitDrawingInput, place: Place): string {
  if (place === 'cord' || place === 'bond' || place.startsWith('feed:')) {
    const segment = place as Segment;
    const through = segment === `feed:${circuit.run[0]?.id}` ? ' through the breaker' : '';
    const jacket = place === 'cord' ? ` ${circuit.cord.typeLetters}` : '';
    const [gauge, length] = segmentWords(circuit, segment, lengthUnit);
    return `${placeWords(circuit, place)}${through}, ${gauge}${jacket}, ${length}: ${segmentProgress(segment, progress)}`;
  }
  const { name, kind, where } = stopWords(circuit, place);
  const device = outletAt(circuit, place);
  const says = device ? [`${words.deviceKind[device.device]}, ${device.amps} A`, where] : [...kind, where];
  const skin = place === 'inlet' ? ['in the van’s skin'] : [];
  return [name, ...says, ...skin].filter((word) => word !== '').join(', ');
}

function segmentProgress(segment: Segment, progress: CircuitDrawingInput['progress']): string {
  const states = conductorsOf(segment).map((c): [Conductor, Progress] => [c, progress(segment, c)]);
  const first = states[0]?.[1] ?? 'planned';
  if (segment === 'bond') return progressWord(segment, first);
  if (states.every(([, state]) => state === first))
    return `hot, neutral and ground ${progressWord(segment, first)}`;
  return states.map(([conductor, state]) => `${conductor} ${progressWord(segment, state)}`).join(', ');
}
