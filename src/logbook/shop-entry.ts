import { z } from 'zod';
import { optionalText, text } from '../circuit/text-field.js';
import { timeZones } from './time-zone.js';

/** What may be written in the shop's own chain: people, instruments, keys and links. Secrets are kept elsewhere. */

const digest = z.string().regex(/^[0-9a-f]{64}$/);
const day = z.iso.date('must be a day such as 2026-11-25');
const from0 = (max: number) => z.number().min(0, 'must not be negative').max(max, `must be at most ${max}`);
const above0 = (max: number) =>
  z
    .number()
    .positive('must be above 0')
    // Said when it is asked for: the first figure that is put into words brings in the tables of all languages.
    .max(max, { error: () => `must be at most ${max.toLocaleString('en')}` });

export const roles = ['fitter', 'checker', 'keeper'] as const;
export type Role = (typeof roles)[number];
const roleList = z.array(z.enum(roles)).min(1, 'needs at least one role').max(3);

const accuracy = z.object({
  percent: from0(20),
  counts: from0(100),
  resolution: above0(10),
});

export const instrumentKinds = {
  multimeter: 'multimeter',
  'low-ohm-meter': 'low-ohm meter',
  'torque-driver': 'torque screwdriver',
  'insulation-tester': 'insulation tester',
  thermometer: 'thermometer',
  'non-contact-tester': 'non-contact voltage tester',
  'lamp-tester': 'three-lamp tester',
  'test-load': 'test load',
} as const;
export type InstrumentKind = keyof typeof instrumentKinds;

export const instrumentSchema = z.object({
  kind: z.enum(Object.keys(instrumentKinds) as [InstrumentKind, ...InstrumentKind[]], {
    error: 'choose one of the list',
  }),
  name: text(80),
  serial: text(60),
  calibrated: day,
  /** The last day that the calibration holds for, where the shop or its certificate sets one. */
  due: day.optional(),
  ohms: accuracy.extend({ overLimit: above0(1e12) }).optional(),
  volts: accuracy.optional(),
  inputOhms: above0(1e12).optional(),
});

export const shopBodies = {
  'shop named': z.object({
    name: text(80),
    place: optionalText(120),
    /** How owners reach the shop: a telephone number, an address. Entries before this was asked have none. */
    reach: optionalText(120),
    units: z.enum(['imperial', 'metric'], { error: 'choose one of the two' }).default('imperial'),
    /** The zone that times are read in; entries before this was asked have none and read UTC. */
    zone: z.enum(timeZones, { error: 'choose one of the list' }).optional(),
  }),
  'person added': z.object({
    name: text(80),
    signIn: text(40),
    roles: roleList,
    vouchedBy: optionalText(80),
  }),
  'person changed': z.object({ name: text(80), roles: roleList, active: z.boolean() }),
  'passphrase set': z.object({ how: z.enum(['set-up', 'own', 'one-time', 'at-the-machine']) }),
  'instrument added': instrumentSchema,
  'instrument changed': instrumentSchema.extend({ retired: z.boolean().default(false) }),
  /** Found not to tell the truth from a day on; a calibration that is newer than the finding ends it. */
  'instrument questioned': z.object({ from: day, reason: text(500) }),
  'key made': z.object({
    fingerprint: digest,
    rootFingerprint: digest,
    certificate: z.string().max(8000),
    root: z.string().max(8000),
    reason: optionalText(300),
  }),
  'link made': z.object({
    job: z.string().max(40),
    revision: z.number().int().min(1),
    tokenDigest: digest,
    expires: z.string().max(30),
    /** Who it was made for, as it was typed; entries before this was asked have none. */
    heldBy: optionalText(80),
    /** The link that ended with it, where the van went to another owner. */
    takesPlaceOf: digest.optional(),
  }),
  'link withdrawn': z.object({ tokenDigest: digest, reason: optionalText(300) }),
  'job opened': z.object({ job: z.string().max(40) }),
  'backup made': z.object({ name: z.string().max(120), sha256: digest }),
} as const;

type ShopKind = keyof typeof shopBodies;
export type ShopBody<K extends ShopKind> = z.output<(typeof shopBodies)[K]>;
/** `subject` is the id of the person, instrument, key or link that the entry is about ('' for the shop itself). */
export type NewShopEntry = {
  [K in ShopKind]: { readonly kind: K; readonly subject: string; readonly body: ShopBody<K> };
}[ShopKind];
