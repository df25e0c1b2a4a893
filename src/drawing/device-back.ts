import { type Circuit, outletNumber, words } from '../circuit/circuit.js';
import { outletAt } from './circuit-words.js';
import { breakerBack, inletBack } from './device-back-body.js';
import { outletBack } from './device-back-outlet.js';
import { type Back, small, type Wire, wireShapes } from './device-back-parts.js';
import type { Place } from './place.js';
import { circle, type PlainShape, type Scene, text } from './scene.js';
import { wrapText } from './text-width.js';

interface DeviceBackInput {
  readonly circuit: Circuit;
  /** The inlet, the breaker's box, or an outlet: `inlet`, `breaker`, `outlet:<id>`. */
  readonly place: Place;
  /** Ends to look at first, by the landing's word (`feed-hot`, `pigtail-device`, `in-neutral` …), and what is suspected. */
  readonly mark?: { readonly landings: readonly string[]; readonly word: string } | undefined;
}

const width = 320;
const caution = 'A plain picture: read your device’s own marking.';

/**
 * A device seen from the back, with every conductor on its screw: hot on brass, neutral on silver, ground on green. It shows which
 * conductor belongs where, not where a maker puts the screws, and says so.
 */
export function deviceBack(input: DeviceBackInput): Scene {
  const back = backOf(input.circuit, input.place);
  const name = nameOf(input.circuit, input.place);
  const marked = back.wires.filter((wire) => input.mark?.landings.includes(wire.landing));
  const captions = captionLines(back, input);
  const top = 330;
  return {
    width,
    height: top + captions.length * 17 - 6,
    title: `${name}, from the back`,
    description: describe(back, input, marked),
    shapes: [
      text(12, 18, name, { size: 14, weight: 'bold' }),
      ...back.fixed,
      ...back.wires.flatMap(wireShapes),
      ...back.over,
      ...marked.flatMap((wire) => lookHere(wire)),
      ...captions.map(({ words: shown, bold }, i) =>
        text(12, top + i * 17, shown, {
          size: bold ? 14 : small,
          weight: bold ? 'bold' : 'regular',
          look: bold ? 'ink' : 'muted',
        }),
      ),
    ],
  };
}

/** True for a place whose back can be drawn. */
export function hasBack(place: Place): boolean {
  return place === 'inlet' || place === 'breaker' || place.startsWith('outlet:');
}

function backOf(circuit: Circuit, place: Place): Back {
  if (place === 'inlet') return inletBack();
  if (place === 'breaker') return breakerBack(circuit);
  const outlet = outletAt(circuit, place);
  if (!outlet) throw new RangeError(`${place} has no back to draw`);
  return outletBack(circuit, outlet);
}

function nameOf(circuit: Circuit, place: Place): string {
  if (place === 'inlet') return 'Inlet';
  if (place === 'breaker') return 'Breaker and its box';
  const id = place.slice('outlet:'.length);
  const number = outletNumber(circuit, id);
  const device = circuit.run[number - 1]?.device ?? 'receptacle';
  return `Outlet ${number}, ${words.deviceKind[device]}`;
}

/** A tinted ring around the end of a wire. */
function lookHere({ end: [x, y] }: Wire): PlainShape[] {
  return [circle(x, y, 15, 'focus heavy'), circle(x, y, 17.5, 'ink line'), circle(x, y, 12.5, 'ink line')];
}

function captionLines(back: Back, input: DeviceBackInput): { words: string; bold: boolean }[] {
  const across = width - 24;
  const look =
    input.mark && input.mark.landings.length > 0
      ? wrapText(`Look here: ${input.mark.word}`, across, 14, 4, 'bold')
      : [];
  return [
    ...look.map((shown) => ({ words: shown, bold: true })),
    ...[...back.notes, caution].flatMap((note) =>
      wrapText(note, across, small, 3).map((shown) => ({ words: shown, bold: false })),
    ),
  ];
}

function describe(back: Back, input: DeviceBackInput, marked: readonly Wire[]): string {
  const landings = back.wires.map((wire) => `${wire.words}.`);
  const look =
    input.mark && marked.length > 0
      ? [`Look at ${marked.map((w) => w.words).join(' and ')}: ${input.mark.word}.`]
      : [];
  return [...landings, ...look, ...back.notes, caution].join(' ');
}
