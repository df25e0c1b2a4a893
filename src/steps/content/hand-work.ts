import type { Circuit } from '../../circuit/circuit.js';
import { torqueText } from '../../circuit/quantity-text.js';
import { buildLimits } from '../../trade/build-limits.js';
import type { Source } from '../../trade/source.js';
import type { Ask } from '../step.js';
import { choice, millimetres, tick, torqueUnits, value } from './draft-step.js';
import type { Landing } from './landings.js';
import { from } from './sources.js';

/** How far a screwdriver's torque may lie from the marking. */
const torqueShare = 0.1;
const markedTorque: Source = {
  ...from.torque,
  clause: '110.14(D), the marking within a tenth (the tenth is our judgement)',
};

/** How hard a landed conductor is tugged: `buildLimits.terminalTug`, its newtons rounded to what an arm can tell. */
export const firmTug = `about 45 N (${buildLimits.terminalTug.value} lbf)`;

/** One tick for each conductor: what is landed where. */
export function landingTicks(landings: readonly Landing[]): Ask[] {
  return landings.map((l) => tick(l.id, `${l.wire} → ${l.terminal}`));
}

/**
 * A torque for each screw and a tug for each conductor. With no marking on the device there is no figure to pass by: the
 * torque may be written down, and where it came from is asked instead.
 */
export function proofAsks(landings: readonly Landing[], torqueNm: number | undefined): Ask[] {
  return [
    ...landings.filter((l) => l.screw).map((l) => torqueAsk(l, torqueNm)),
    ...(torqueNm === undefined ? [torqueOrigin(landings.filter((l) => l.screw && !l.apart))] : []),
    ...landings.map((l) => tick(`tug-${l.id}`, `Tug: ${l.wire.toLowerCase()} at ${l.terminal} holds`)),
  ];
}

const torqueId = ({ id }: Landing): string => `torque-${id}`;

function torqueAsk(l: Landing, torqueNm: number | undefined): Ask {
  const label = `Torque: ${l.wire.toLowerCase()} at ${l.terminal}`;
  const shared = {
    id: torqueId(l),
    label,
    quantity: 'torque',
    units: torqueUnits,
    instrument: 'torque-driver',
  } as const;
  if (l.apart)
    return value({
      ...shared,
      limitSource: { ...from.torque, note: 'the bar’s or the box’s own marking' },
      optional: true,
    });
  if (torqueNm === undefined)
    return value({
      ...shared,
      limitSource: { ...from.torqueTest, note: 'no marking: not a pass by number' },
      optional: true,
    });
  return value({
    ...shared,
    min: torqueNm * (1 - torqueShare),
    max: torqueNm * (1 + torqueShare),
    expected: torqueNm,
    limitSource: markedTorque,
  });
}

/** Where no marking gives a figure. Figures that the maker gave are there for every screw of the device, or they are not said to be. */
function torqueOrigin(screws: readonly Landing[]): Ask {
  const { options, ...origin } = choice('torque-origin', 'No torque is in the circuit here', [
    ['maker-asked', 'The maker was asked; the figures are written above'],
    ['no-figure', 'No marking and no figure to be had; tightened firmly and tugged'],
    ['not-looked', 'Not looked for', 'Look at the device and its leaflet first: the marking counts.'],
  ]);
  const needs = screws.map(torqueId);
  return {
    ...origin,
    options: options.map((o) => (o.value === 'maker-asked' ? { ...o, needs } : o)),
    alike: true,
  };
}

/** What the torque should be, in words. */
export function torqueRight(torqueNm: number | undefined): string {
  return torqueNm === undefined
    ? 'The circuit has no torque for this device: write its marking into the circuit, or ask its maker. Without one, no torque counts as right.'
    : `Every screw at ${torqueText(torqueNm)}, the marking of the device, within a tenth.`;
}

export function torqueFact(torqueNm: number | undefined): Record<string, string> {
  return { 'torque marked': torqueNm === undefined ? 'none' : torqueText(torqueNm) };
}

/** Said between the torque and the tug where strands settle. */
export function againAct(circuit: Circuit): string[] {
  return circuit.cable.strands === 'solid'
    ? []
    : ['Stranded wire settles: after ten minutes bring each screw to its torque once more.'];
}

/** How the conductors of one box are held: the same in most boxes, and worth knowing for whoever opens it later. */
export function madeAsks(): Ask[] {
  const held = choice('held-by', 'How the wires are held', [
    ['clamp-plate', 'Under a clamp plate'],
    ['screw', 'Around a screw, tail turned clockwise'],
    ['ring', 'A crimped ring or fork under the screw'],
  ]);
  const strip = value({
    id: 'strip',
    label: 'Strip length',
    quantity: 'diameter',
    units: millimetres,
    limitSource: { ...from.deviceSheet, note: 'written down, not judged' },
    optional: true,
    alike: true,
  });
  return [{ ...held, optional: true, alike: true }, strip];
}

/** Once for every screw; stranded conductors settle and are turned a second time. */
export function againAsk(circuit: Circuit): Ask[] {
  return circuit.cable.strands === 'solid'
    ? []
    : [tick('again', 'Stranded: torqued once more after ten minutes')];
}

/** What an end of strands may not be made of. */
export function endsRight({ cable }: Circuit): string[] {
  return cable.strands === 'solid'
    ? []
    : [
        'No end stiffened with solder: it creeps under a screw and works loose. A ferrule only where the maker of the terminal takes it.',
      ];
}
