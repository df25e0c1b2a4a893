import { z } from 'zod';
import { signatureSchema } from '../logbook/signature.js';
import { timeZones } from '../logbook/time-zone.js';

const digest = z.string().regex(/^[0-9a-f]{64}$/);

/**
 * What a record says of itself to a machine: attached to it as `record.json`, inside the signed bytes.
 * `issuedAt` is UTC, ISO 8601, to the second; `head` is the newest digest of the logbook that the record was made from.
 */
export const recordFactsSchema = z.object({
  format: z.literal('inlet-record/1'),
  job: z.string().min(1).max(40),
  revision: z.number().int().min(1),
  issuedAt: z.string().regex(/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}Z$/),
  issuedBy: z.string().max(80),
  shop: z.string().max(80),
  van: z.string().max(200),
  entries: z.number().int().min(0),
  head: digest,
  rules: z.string().max(20),
  /** The version of the drawing: how what was composed is set on the pages. */
  drawing: z.string().max(20).optional(),
  fingerprint: digest,
  rootFingerprint: digest,
  /** What the pages were composed from beside the attached logbook, and the digest of what came out. */
  composed: z
    .object({
      worksAlone: z.boolean(),
      reason: z.string().max(500).optional(),
      reach: z.string().max(120).optional(),
      formerKeys: z
        .array(z.object({ fingerprint: digest, from: z.string().max(10), until: z.string().max(10) }))
        .max(100)
        .optional(),
      /** What was written by people of another shop, whose logbook was taken over. */
      elsewhere: z
        .object({ entries: z.number().int().min(1), names: z.array(z.string().max(80)).max(200) })
        .optional(),
      keyForOccasion: z.boolean().default(false),
      units: z.enum(['metric', 'imperial']),
      /** What the times on its pages are told in, where it is not UTC. */
      zone: z.enum(timeZones).optional(),
      signature: signatureSchema,
      instruments: z
        .array(
          z.object({
            id: z.string(),
            name: z.string(),
            kind: z.string().optional(),
            serial: z.string(),
            calibrated: z.string(),
          }),
        )
        .max(200),
      digest,
    })
    .optional(),
});
export type RecordFacts = z.output<typeof recordFactsSchema>;

/** The same as JSON Schema (2020-12), for a reader without this project. */
export function recordFactsJsonSchema(): object {
  return z.toJSONSchema(recordFactsSchema);
}
