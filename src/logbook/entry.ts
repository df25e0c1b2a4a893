import { z } from 'zod';
import { circuitSchema } from '../circuit/circuit.js';
import { optionalText, text } from '../circuit/text-field.js';
import { signatureSchema } from './signature.js';

/** What may be written in a job's logbook, kind by kind. A correction is a new entry; the old one stays. */

const sequence = z.number().int().min(1);
const photoId = z.string().regex(/^[0-9a-f]{64}$/);

/** A value as kept in SI and as the person wrote it. */
const measuredSchema = z.object({
  si: z.number(),
  typed: z.string().max(40),
  unit: z.string().max(12),
});

/** What was written down for one thing that a step asks. */
const answerSchema = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('tick') }),
  z.object({ kind: z.literal('choice'), value: z.string().max(60) }),
  z.object({ kind: z.literal('value'), ...measuredSchema.shape, instrument: z.string().max(40).optional() }),
  z.object({ kind: z.literal('note'), text: text(2000) }),
  z.object({ kind: z.literal('person'), name: text(80) }),
  z.object({ kind: z.literal('photo'), photos: z.array(photoId).min(1).max(20) }),
]);
export type Answer = z.output<typeof answerSchema>;

/** An instrument as it was when the reading was taken: the record must not change when the shelf does. */
const instrumentSnapshotSchema = z.object({
  id: z.string().max(40),
  kind: z.string().max(60),
  name: z.string().max(80),
  serial: z.string().max(60),
  calibrated: z.string().max(10),
  /** The last day of its calibration, where one is set. */
  due: z.string().max(10).optional(),
  /** Accuracy as in inlet-readings/1: percent of reading plus counts of the last digit. */
  ohms: z
    .object({ percent: z.number(), counts: z.number(), resolution: z.number(), overLimit: z.number() })
    .optional(),
  volts: z.object({ percent: z.number(), counts: z.number(), resolution: z.number() }).optional(),
  inputOhms: z.number().optional(),
});
export type InstrumentSnapshot = z.output<typeof instrumentSnapshotSchema>;

/**
 * What the meter showed. Ohms: null is over-limit, with the top of the range it was shown on (Ω).
 * A low-impedance voltage says so: its floating points are pulled to nothing.
 */
const shownSchema = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('ohms'),
    ohms: z.number().nonnegative().nullable(),
    rangeOhms: z.number().positive().optional(),
  }),
  z.object({
    kind: z.literal('volts'),
    volts: z.number().nonnegative(),
    lowImpedance: z.boolean().default(false),
  }),
  z.object({ kind: z.literal('loaded-volts'), volts: z.number().nonnegative(), amps: z.number().positive() }),
  z.object({ kind: z.literal('answer'), answer: z.boolean() }),
  z.object({
    kind: z.literal('lamps'),
    hotNeutral: z.boolean(),
    hotGround: z.boolean(),
    neutralGround: z.boolean(),
  }),
]);
export type Shown = z.output<typeof shownSchema>;

/** What a mend disturbs, and so what must be tested again. `outlet` where it is one outlet's box or device. */
export const disturbanceSchema = z.object({
  what: z.enum([
    'conductor-relanded',
    'ground-fault-device-touched',
    'bond-touched',
    'cord-changed',
    'water-or-new-hole',
    'breaker-or-inlet-box-opened',
    'supply-only',
    'nothing-touched',
  ]),
  outlet: z.string().max(12).optional(),
});
export type Disturbance = z.output<typeof disturbanceSchema>;

const suspectSchema = z.object({
  text: z.string().max(300),
  lookAt: z.string().max(500).default(''),
  probability: z.number().min(0).max(1),
  /** In the fault language of the readings file. */
  faults: z.array(z.record(z.string(), z.unknown())).max(3).default([]),
});

export const entryBodies = {
  'job described': z.object({
    vehicle: z.object({
      description: text(200),
      plate: optionalText(20),
      vin: optionalText(20),
      invented: z.boolean().default(false),
    }),
    owner: text(80),
    place: text(120),
    fitter: text(80),
    checker: optionalText(80),
  }),
  'circuit set': z.object({ circuit: circuitSchema, rules: z.string().max(20), reason: optionalText(500) }),
  'step done': z.object({
    answers: z.record(z.string().max(60), answerSchema),
    /** What its values name as the instrument, as it was on that day. */
    instruments: z.array(instrumentSnapshotSchema).max(10).optional(),
  }),
  'step reopened': z.object({ reason: text(500) }),
  'reading taken': z.object({
    shown: shownSchema,
    instrument: instrumentSnapshotSchema.optional(),
    note: optionalText(500),
  }),
  'reading struck': z.object({ reading: sequence, reason: text(500) }),
  'photo added': z.object({
    photo: photoId,
    original: photoId,
    caption: optionalText(200),
    widthPx: z.number().int().positive(),
    heightPx: z.number().int().positive(),
    ask: z.string().max(60).optional(),
  }),
  'defect raised': z.object({
    what: text(1000),
    reading: sequence.optional(),
    suspects: z.array(suspectSchema).max(20).default([]),
  }),
  'defect reworked': z.object({
    defect: sequence,
    found: text(1000),
    done: text(1000),
    disturbs: z.array(disturbanceSchema).min(1, 'say what the mend disturbed').max(12),
  }),
  'concession granted': z.object({ reason: text(1000) }),
  'second look signed': z.object({ statement: text(500), signature: signatureSchema }),
  'record issued': z.object({
    revision: z.number().int().min(1),
    sha256: photoId,
    bytes: z.number().int().positive(),
    head: photoId,
    fingerprint: photoId,
    signature: signatureSchema,
    worksAlone: z.boolean(),
    /** Why there is a further revision. */
    reason: text(500).optional(),
  }),
  /** A meter or driver that was found not to tell the truth from a day on: what it gave from then on proves nothing. */
  'instrument questioned': z.object({
    instrument: z.object({ id: z.string().max(40), name: text(80), serial: text(60) }),
    from: z.iso.date(),
    reason: text(500),
    entries: z.array(sequence).min(1).max(2000),
  }),
  'record withdrawn': z.object({ revision: z.number().int().min(1), reason: text(500) }),
  'owner acknowledged': z.object({ revision: z.number().int().min(1), signature: signatureSchema }),
  'job set aside': z.object({ reason: text(500) }),
  'job taken up': z.object({ reason: text(500) }),
  'job closed': z.object({ reason: text(500) }),
} as const;

export type EntryKind = keyof typeof entryBodies;
export const entryKinds = Object.keys(entryBodies) as EntryKind[];
export type EntryBody<K extends EntryKind> = z.output<(typeof entryBodies)[K]>;

/** An entry before it has its place: what is written, about what. */
export type NewEntry = {
  [K in EntryKind]: { readonly kind: K; readonly subject: string; readonly body: EntryBody<K> };
}[EntryKind];

/** Who wrote an entry: the person's permanent id and the name as it was then. */
export interface Author {
  readonly id: string;
  readonly name: string;
}

/** An entry in its place. `at` is UTC, ISO 8601 with milliseconds; `digest` covers everything else in it. */
export type Entry = NewEntry & {
  readonly seq: number;
  readonly job: string;
  /** When the server wrote it: this keeps the order. */
  readonly at: string;
  /** When it was filled in, where it reached the server later: by the phone's own count of the time between. */
  readonly filledIn?: string;
  readonly by: Author;
  readonly key: string;
  readonly previous: string;
  readonly digest: string;
};
export type EntryOf<K extends EntryKind> = Extract<Entry, { kind: K }>;
