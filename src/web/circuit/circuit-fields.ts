import { feedSizes, ratings, words } from '../../circuit/circuit.js';
import { gaugeAreaText } from '../../circuit/quantity-text.js';
import type { Quantity } from '../../circuit/units.js';

/** One field of the circuit's form. `path` is its place in the circuit's schema, and so the name that an error carries. */
export type CircuitField = {
  readonly path: string;
  readonly label: string;
  readonly hint?: string;
  /** May be left empty: where it is not known, where there is none, or where everything in its section is empty. */
  readonly optional?: 'if known' | 'if any' | 'with its section';
} & (
  | {
      readonly kind: 'text';
      /** Several lines, of at most so many characters. */
      readonly long?: number;
    }
  | { readonly kind: 'choice'; readonly options: readonly Option[]; readonly numeric?: boolean }
  | {
      readonly kind: 'measure';
      readonly quantity: Quantity;
      readonly units: readonly string[];
      /** The unit offered first in each system. */
      readonly metric: string;
      readonly imperial: string;
    }
  | { readonly kind: 'tick' }
);

interface Option {
  readonly value: string;
  readonly label: string;
}

interface CircuitSection {
  readonly id: string;
  readonly title: string;
  readonly intro?: string;
  readonly fields: readonly CircuitField[];
}

const optionsOf = (list: Record<string, string>): Option[] =>
  Object.entries(list).map(([value, label]) => ({ value, label }));
const numbers = (list: readonly number[], unit: string): Option[] =>
  list.map((n) => ({ value: String(n), label: unit === 'AWG' ? gaugeAreaText(n) : `${n} ${unit}` }));

const text = (path: string, label: string, more: { hint?: string; long?: number } = {}): CircuitField => ({
  kind: 'text',
  path,
  label,
  ...more,
});
const choice = (path: string, label: string, list: Record<string, string>, hint?: string): CircuitField => ({
  kind: 'choice',
  path,
  label,
  options: optionsOf(list),
  ...(hint ? { hint } : {}),
});
const figure = (
  path: string,
  label: string,
  list: readonly number[],
  unit: string,
  hint?: string,
): CircuitField => ({
  kind: 'choice',
  path,
  label,
  numeric: true,
  options: numbers(list, unit),
  ...(hint ? { hint } : {}),
});
const tick = (path: string, label: string, hint?: string): CircuitField => ({
  kind: 'tick',
  path,
  label,
  ...(hint ? { hint } : {}),
});
const measure = (
  path: string,
  label: string,
  quantity: Quantity,
  [metric, imperial, ...others]: readonly [string, string, ...string[]],
  more: { hint?: string; optional?: 'if known' | 'with its section' } = {},
): CircuitField => ({
  kind: 'measure',
  path,
  label,
  quantity,
  metric,
  imperial,
  units: [...new Set([metric, imperial, ...others])],
  ...more,
});

const long = ['m', 'ft', 'in', 'cm'] as const;
const near = ['cm', 'in', 'm', 'ft'] as const;
const short = ['mm', 'in'] as const;
const noFigure = { optional: 'if known', hint: 'As marked on the device.' } as const;

const boxFields = (path: string, hint: string): CircuitField[] => [
  measure(`${path}.volumeCm3`, 'Box volume', 'volume', ['cm3', 'in3'], { hint, optional: 'if known' }),
  measure(`${path}.depthMm`, 'Box depth inside', 'diameter', short, { optional: 'if known' }),
  choice(`${path}.material`, 'Box material', words.boxMaterial),
  choice(`${path}.clamps`, 'Box clamps', words.clamps, 'A clamp inside the box takes room from the wires.'),
];

/** The form's sections before the run of outlets, in the order in which the current flows. */
export const sectionsBefore: readonly CircuitSection[] = [
  {
    id: 'supply',
    title: 'Supply',
    intro: 'What the van will be plugged into.',
    fields: [
      choice('vehicleUse', 'What the van is', words.vehicleUse),
      figure('supply.amps', 'Rating of the receptacle it plugs into', ratings, 'A'),
      measure('supply.loopOhms', 'Hot plus neutral, source to receptacle', 'resistance', ['Ω', 'Ω'], {
        hint: 'The resistance of the wires behind the receptacle. 0.3 Ω is assumed until it is measured.',
      }),
    ],
  },
  {
    id: 'cord',
    title: 'Cord',
    intro: 'The one cord that belongs to the van.',
    fields: [
      figure('cord.awg', 'Cord size', [16, 14, 12, 10, 8, 6, 18], 'AWG'),
      measure('cord.lengthM', 'Cord length', 'length', ['m', 'ft']),
      text('cord.typeLetters', 'Letters on its jacket', {
        hint: 'Such as SJTW. W means marked for outdoors.',
      }),
    ],
  },
  {
    id: 'inlet',
    title: 'Inlet',
    intro: 'One circuit of 120 V. An inlet of 50 A, or of 120/240 V, is beyond this tool.',
    fields: [
      figure('inlet.amps', 'Inlet rating', ratings, 'A'),
      choice(
        'inlet.side',
        'Side of the van',
        words.side,
        'At the rear the rule for living quarters asks for left of centre; plain “rear” is anywhere else there.',
      ),
      measure('inlet.fromRearM', 'Distance from the rear', 'length', long),
      measure('inlet.heightM', 'Height above ground', 'length', long),
      choice('inlet.panel', 'Mounted in', words.panel, 'A replaceable trim piece beats body metal.'),
      text('inlet.behindPanel', 'What is behind the panel', {
        hint: 'Seen with the trim off, from both sides.',
        long: 300,
      }),
      tick('inlet.locking', 'Locking or ringed', 'A forgotten cord does not pull out.'),
      measure('inlet.torqueNm', 'Terminal torque', 'torque', ['N·m', 'in-lbf'], noFigure),
      ...boxFields('inlet.box', 'Marked inside the box, where it has one.'),
    ],
  },
  {
    id: 'entry',
    title: 'Entry',
    intro: 'Where the cable passes into the body.',
    fields: [
      choice('entry.kind', 'How it enters', words.entry),
      measure('entry.holeMm', 'Hole diameter', 'diameter', short),
      measure('entry.clampMinMm', 'Smallest cable the grip or grommet takes', 'diameter', short, {
        optional: 'if known',
      }),
      measure('entry.clampMaxMm', 'Largest cable the grip or grommet takes', 'diameter', short, {
        optional: 'if known',
      }),
      tick('entry.coversWholeEdge', 'The whole metal edge is covered'),
    ],
  },
  {
    id: 'breaker',
    title: 'The van’s breaker',
    intro: 'Required: it is what protects the van’s wire from a bigger supply.',
    fields: [
      figure('breaker.amps', 'Breaker rating', ratings, 'A'),
      text('breaker.place', 'Where it is', { hint: 'Reachable with the trim on.' }),
      measure('breaker.torqueNm', 'Terminal torque', 'torque', ['N·m', 'in-lbf'], noFigure),
      ...boxFields('breaker.box', 'Marked inside the box, where it has one.'),
    ],
  },
  {
    id: 'inletWire',
    title: 'Cable to the breaker',
    intro:
      'From the inlet to the breaker. Leave it empty where one cable leads through the breaker to outlet 1. A 30 A inlet asks for 10 AWG as far as the breaker, and receptacles take 12 AWG and thinner.',
    fields: [
      {
        ...figure('inletWire.awg', 'Conductors', [10, 12, 14, 8, 6], 'AWG', 'Copper.'),
        optional: 'with its section',
      },
      measure('inletWire.lengthM', 'Length', 'length', long, {
        optional: 'with its section',
        hint: 'Keep it short.',
      }),
      measure('inletWire.outsideDiameterMm', 'Outside diameter', 'diameter', short, {
        optional: 'with its section',
      }),
    ],
  },
  {
    id: 'bond',
    title: 'Bond to the chassis',
    intro: 'From the ground of the inlet or of the breaker’s box to bare metal of the body.',
    fields: [
      figure('bond.awg', 'Bonding conductor', [8, 10, 6, 12, 14], 'AWG', 'Copper.'),
      measure('bond.lengthM', 'Length', 'length', long),
    ],
  },
  {
    id: 'cable',
    title: 'Cable',
    fields: [
      choice('cable.method', 'Wiring method', words.cableMethod),
      choice(
        'cable.strands',
        'Strands',
        words.strands,
        'Class B or C has a few stiff strands, 7 or 19. Finely stranded has many, thin as hair: its terminals must be made for it.',
      ),
      figure('cable.insulationC', 'Insulation', [60, 75, 90], '°C'),
      measure('cable.outsideDiameterMm', 'Outside diameter', 'diameter', short, {
        hint: 'Measured over the jacket, or from its data sheet.',
      }),
      measure('cable.hottestPlaceC', 'Hottest air it passes', 'temperature', ['°C', '°F'], {
        hint: 'Behind a panel in the sun: 50 °C (122 °F) unless you know better.',
      }),
      figure('cable.terminalsC', 'Terminals rated', [60, 75], '°C', '60 °C unless marked 75 °C.'),
      measure('cable.supportSpacingM', 'Largest gap between supports', 'length', near),
      measure('cable.supportFromBoxM', 'First support from a box', 'length', near),
      measure('cable.bendRadiusMm', 'Tightest bend, inside radius', 'diameter', short, {
        hint: 'At least 5 times the outside diameter.',
      }),
    ],
  },
];

/** The fields of one outlet. `k` is its place in the run, from 0. */
export function outletFields(k: number): readonly CircuitField[] {
  const at = `run.${k}`;
  return [
    text(`${at}.place`, 'Where it is', { hint: 'Such as “bench, left of the sink”.' }),
    choice(`${at}.device`, 'Device', words.deviceKind),
    figure(`${at}.amps`, 'Device rating', [15, 20], 'A'),
    choice(`${at}.terminals`, 'Terminals', words.terminals, 'Push-in holes never take stranded wire.'),
    measure(`${at}.torqueNm`, 'Terminal torque', 'torque', ['N·m', 'in-lbf'], noFigure),
    figure(
      `${at}.feed.awg`,
      'Cable that feeds it',
      feedSizes,
      'AWG',
      'Copper: everything here is worked out for copper, none of it for aluminum.',
    ),
    measure(`${at}.feed.lengthM`, 'Length of that cable', 'length', long),
    measure(`${at}.box.volumeCm3`, 'Box volume', 'volume', ['cm3', 'in3'], {
      hint: 'Marked inside the box.',
    }),
    measure(`${at}.box.depthMm`, 'Box depth inside', 'diameter', short, { optional: 'if known' }),
    choice(`${at}.box.material`, 'Box material', words.boxMaterial),
    choice(`${at}.box.clamps`, 'Box clamps', words.clamps),
    choice(
      `${at}.openNeutral`,
      'When the neutral ahead of it is lost, the device',
      words.openNeutral,
      'For a ground-fault device: its leaflet says.',
    ),
    tick(`${at}.selfTest`, 'Marked as testing itself', 'For a ground-fault device.'),
  ];
}

/** The ticks of one load beside its name and its amount. */
export function loadTicks(k: number, i: number): readonly CircuitField[] {
  const at = `run.${k}.loads.${i}`;
  return [
    tick(`${at}.continuous`, 'On three hours or more'),
    tick(`${at}.fastened`, 'Fastened in place'),
    tick(`${at}.heats`, 'Has heat in it'),
  ];
}

/** The fields of one other source of 120 V. */
export function sourceFields(s: number): readonly CircuitField[] {
  const at = `otherSources.${s}`;
  return [
    choice(`${at}.kind`, 'Source', words.otherSource),
    choice(`${at}.keptOff`, 'Kept off the inlet’s pins by', words.keptOff),
    tick(`${at}.metalCase`, 'Its case is metal'),
    { ...text(`${at}.note`, 'Note', { long: 300 }), optional: 'if any' },
  ];
}
