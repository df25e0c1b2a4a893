import { z } from 'zod';
import { wireSizes } from '../trade/wire.js';
import { optionalText, text } from './text-field.js';

/**
 * What is to be built, as the fitter describes it: the one input of the sheet, the steps and the expected readings.
 * Lengths in m, diameters in mm, volumes in cm³, temperatures in °C, loads in W or A at 120 V.
 */

const between = (low: number, high: number, unit: string) =>
  z
    .number({ error: 'must be a number' })
    .min(low, `must be at least ${low} ${unit}`)
    .max(high, `must be at most ${high} ${unit}`);
const oneOf = <T extends Record<string, string>>(words: T) =>
  z.enum(Object.keys(words) as [keyof T & string, ...(keyof T & string)[]], {
    error: 'choose one of the list',
  });

const oneOfFigures = <const T extends readonly number[]>(figures: T, unit: string, beyond = '') =>
  z.union(
    figures.map((figure: T[number]) => z.literal(figure)),
    { error: `choose ${figures.slice(0, -1).join(', ')} or ${figures.at(-1)} ${unit}${beyond}` },
  );

/** Conductor sizes (AWG) that a feed or a bond may have; smaller ones are no branch conductors. */
export const feedSizes = [14, 12, 10, 8, 6] as const;
/** Ratings (A) of a supply, an inlet and a breaker. */
export const ratings = [15, 20, 30] as const;

const feedAwg = oneOfFigures(feedSizes, 'AWG');
const cordAwg = oneOfFigures(wireSizes, 'AWG');
const rating = oneOfFigures(ratings, 'A');

/** Words for each choice, said the same on the page, in the record and in the sheet. */
export const words = {
  vehicleUse: { 'living-quarters': 'living quarters', 'work-van': 'work van, not living quarters' },
  side: {
    left: 'left (road side)',
    right: 'right (kerb side)',
    'rear-left': 'rear, left of centre',
    rear: 'rear',
    front: 'front',
  },
  panel: {
    'trim-piece': 'a replaceable trim piece',
    'body-metal': 'body metal',
    'plastic-panel': 'a plastic or fibreglass panel',
  },
  entry: {
    'existing-opening': 'an existing opening',
    'drilled-grommet': 'a drilled hole with a grommet',
    'cord-grip': 'a cord grip in the panel',
  },
  cableMethod: {
    'stranded-in-conduit': 'stranded building wire in flexible conduit',
    'stranded-multiconductor': 'stranded multi-conductor cable listed for use in walls',
    'boat-cable': 'boat cable (the authority decides)',
    'nonmetallic-solid': 'nonmetallic-sheathed cable, solid conductors',
    'flexible-cord': 'flexible cord',
  },
  strands: { solid: 'solid', stranded: 'stranded (class B or C)', fine: 'finely stranded' },
  deviceKind: { 'gfci-receptacle': 'ground-fault receptacle', receptacle: 'receptacle' },
  openNeutral: {
    opens: 'opens when the neutral is lost',
    stays: 'stays closed when the neutral is lost',
    unknown: 'not known',
  },
  clamps: { internal: 'internal clamps', external: 'external connectors or none' },
  boxMaterial: { metal: 'metal', plastic: 'plastic' },
  terminals: {
    'clamp-plate': 'clamp plate, screw-tightened',
    'binding-screw': 'binding screw',
    'push-in': 'push-in',
  },
  otherSource: {
    inverter: 'inverter',
    'inverter-charger': 'inverter with charger',
    generator: 'generator on board',
    'second-inlet': 'second inlet',
  },
  keptOff: {
    'transfer-switch': 'a transfer switch',
    'own-relay': 'the source’s own transfer relay',
    'plug-moved-by-hand': 'one plug moved by hand from source to source',
    'two-breakers': 'two breakers, switched with care',
    'double-ended-lead': 'a lead with pins at both ends',
    nothing: 'nothing',
  },
} as const;

const load = z.object({
  name: text(60),
  /** One of the two: what the plate says. */
  watts: between(0.1, 20_000, 'W').optional(),
  amps: between(0.001, 200, 'A').optional(),
  /** On for three hours or more. */
  continuous: z.boolean().default(false),
  /** Fastened in place (a charger screwed to the wall counts). */
  fastened: z.boolean().default(false),
  /** Has heat in it: glue pot, press, heater. */
  heats: z.boolean().default(false),
});

const box = z.object({
  volumeCm3: between(10, 5000, 'cm³'),
  depthMm: between(10, 200, 'mm').optional(),
  material: oneOf(words.boxMaterial),
  clamps: oneOf(words.clamps),
});

const outlet = z.object({
  /** Identity, never reused; the number is only the place in the run today. */
  id: z
    .string()
    .regex(/^[a-z0-9]{4,12}$/, 'must be 4 to 12 small letters or digits')
    // Their boxes and readings go by these names already: one of the two would be lost.
    .refine((id) => id !== 'inlet' && id !== 'breaker', 'is the name of another place; choose another'),
  place: text(80),
  device: oneOf(words.deviceKind),
  amps: z.union([z.literal(15), z.literal(20)], { error: 'choose 15 or 20 A' }),
  terminals: oneOf(words.terminals),
  /** For a ground-fault device: what it does when the neutral is lost ahead of it. */
  openNeutral: oneOf(words.openNeutral).default('unknown'),
  /** For a ground-fault device: marked as one that tests itself (made after 29 June 2015). */
  selfTest: z.boolean().default(false),
  /** The torque that the device's marking asks, in N·m; absent when it has no marking. */
  torqueNm: between(0.1, 10, 'N·m').optional(),
  feed: z.object({ awg: feedAwg, lengthM: between(0.05, 30, 'm') }),
  box,
  loads: z.array(load).max(12, 'takes at most 12 loads').default([]),
});

export const circuitSchema = z
  .object({
    format: z.literal('inlet-circuit/1').default('inlet-circuit/1'),
    vehicleUse: oneOf(words.vehicleUse),
    supply: z.object({
      volts: z.literal(120).default(120),
      /** Rating of the receptacle that the van is expected to be plugged into, A. */
      amps: rating,
      /** Hot plus neutral, source to receptacle, Ω; assumed until measured. */
      loopOhms: between(0, 2, 'Ω').default(0.3),
    }),
    cord: z.object({
      awg: cordAwg,
      lengthM: between(0.3, 60, 'm'),
      /** Type letters on the jacket, for instance SJTW. */
      typeLetters: z
        .string()
        .trim()
        .toUpperCase()
        .regex(/^[A-Z]{1,8}$/, 'must be the letters on the jacket, such as SJTW'),
    }),
    inlet: z.object({
      amps: oneOfFigures(ratings, 'A', '; an inlet of 50 A, or of 120/240 V, is beyond this tool'),
      side: oneOf(words.side),
      fromRearM: between(0, 15, 'm'),
      heightM: between(0, 4, 'm'),
      panel: oneOf(words.panel),
      behindPanel: text(300),
      /** Locking or ringed: a forgotten cord does not pull out. */
      locking: z.boolean().default(false),
      torqueNm: between(0.1, 10, 'N·m').optional(),
      box: box.optional(),
    }),
    entry: z.object({
      kind: oneOf(words.entry),
      holeMm: between(3, 150, 'mm'),
      /** The opening of the grommet, or the range that the cord grip takes, mm. */
      clampMinMm: between(1, 100, 'mm').optional(),
      clampMaxMm: between(1, 100, 'mm').optional(),
      coversWholeEdge: z.boolean().default(false),
    }),
    breaker: z.object({
      amps: rating,
      place: text(80),
      torqueNm: between(0.1, 10, 'N·m').optional(),
      box: box.optional(),
    }),
    /**
     * The cable from the inlet to the breaker, where it is another one than the first outlet's: behind a 30 A inlet it is
     * thicker than any receptacle takes. Absent where one cable leads from the inlet through the breaker to outlet 1.
     */
    inletWire: z
      .object({
        awg: feedAwg,
        lengthM: between(0.05, 10, 'm'),
        outsideDiameterMm: between(3, 60, 'mm'),
      })
      .optional(),
    bond: z.object({ awg: feedAwg, lengthM: between(0.05, 10, 'm') }),
    cable: z.object({
      method: oneOf(words.cableMethod),
      strands: oneOf(words.strands),
      insulationC: z.union([z.literal(60), z.literal(75), z.literal(90)], {
        error: 'choose 60, 75 or 90 °C',
      }),
      outsideDiameterMm: between(3, 60, 'mm'),
      /** The hottest air that the cable passes, °C. */
      hottestPlaceC: between(-20, 90, '°C').default(50),
      /** Rating of the terminations, °C: 60 unless marked 75. */
      terminalsC: z.union([z.literal(60), z.literal(75)], { error: 'choose 60 or 75 °C' }).default(60),
      supportSpacingM: between(0.05, 5, 'm'),
      supportFromBoxM: between(0.01, 2, 'm'),
      bendRadiusMm: between(1, 2000, 'mm'),
    }),
    run: z.array(outlet).min(1, 'needs at least one outlet').max(12, 'takes at most 12 outlets'),
    /** Any other 120 V source in the van, now or planned, and how it is kept off the pins of the inlet. */
    otherSources: z
      .array(
        z.object({
          kind: oneOf(words.otherSource),
          keptOff: oneOf(words.keptOff),
          metalCase: z.boolean().default(false),
          note: optionalText(300),
        }),
      )
      .max(4, 'takes at most 4 other sources')
      .default([]),
    /** Groups of loads that may run together, by outlet id and load name; empty means all at once. */
    together: z
      .array(
        z.object({
          name: text(60),
          loads: z
            .array(z.object({ outlet: z.string(), load: z.string() }))
            .min(1, 'tick at least one load of this set, or take the set out')
            .max(40),
        }),
      )
      .max(8, 'takes at most 8 sets')
      .default([]),
    note: optionalText(2000),
  })
  .superRefine((circuit, context) => {
    const ids = circuit.run.map((o) => o.id);
    circuit.run.forEach((o, k) => {
      if (ids.indexOf(o.id) !== k)
        context.addIssue({
          code: 'custom',
          path: ['run', k, 'id'],
          message: 'is used by an outlet before it',
        });
      o.loads.forEach((l, i) => {
        if ((l.watts === undefined) === (l.amps === undefined))
          context.addIssue({
            code: 'custom',
            path: ['run', k, 'loads', i, 'watts'],
            message: 'needs watts or amps, one of the two',
          });
        if (o.loads.findIndex((other) => other.name === l.name) !== i)
          context.addIssue({
            code: 'custom',
            path: ['run', k, 'loads', i, 'name'],
            message: 'is used by a load before it at this outlet',
          });
      });
    });
    circuit.together.forEach((set, s) => {
      set.loads.forEach((member, m) => {
        const at = circuit.run.find((o) => o.id === member.outlet);
        if (!at?.loads.some((l) => l.name === member.load))
          context.addIssue({
            code: 'custom',
            path: ['together', s, 'loads', m],
            message: 'names a load that this circuit does not have',
          });
      });
    });
    const { clampMinMm, clampMaxMm } = circuit.entry;
    if (clampMinMm !== undefined && clampMaxMm !== undefined && clampMinMm > clampMaxMm)
      context.addIssue({
        code: 'custom',
        path: ['entry', 'clampMinMm'],
        message: 'is larger than the largest it takes',
      });
  });

export type Circuit = z.output<typeof circuitSchema>;
export type CircuitInput = z.input<typeof circuitSchema>;
export type Outlet = Circuit['run'][number];
export type Load = Outlet['loads'][number];

/** Number of an outlet in the run today, from 1; 0 where the circuit has no such outlet. */
export function outletNumber(circuit: Circuit, id: string): number {
  return circuit.run.findIndex((o) => o.id === id) + 1;
}

/** A load's current in A at the supply's nominal voltage. */
export function loadAmps(circuit: Circuit, l: Load): number {
  return l.amps ?? (l.watts ?? 0) / circuit.supply.volts;
}
