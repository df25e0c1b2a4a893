import { Buffer, constants } from 'node:buffer';
import { z } from 'zod';
import { issueSentence } from '../../circuit/issue-sentence.js';
import { jsonOf } from '../../circuit/json-text.js';
import { AppError } from '../../errors.js';
import { chainFault, type Link } from '../../logbook/chain.js';
import { entryBodies, entryKinds, type NewEntry } from '../../logbook/entry.js';
import { jobNumber } from '../../logbook/job-number.js';
import { instrumentSchema, roles } from '../../logbook/shop-entry.js';
import { shopChain } from '../heads.js';

const digest = z.string().regex(/^[0-9a-f]{64}$/, 'must be a SHA-256 in hex');
const base64 = z.string().regex(/^[A-Za-z0-9+/]*={0,2}$/, 'must be base64');
const personId = z.string().min(1).max(40);

export const fileEntry = z.object({
  seq: z.number().int().min(1).optional(),
  job: z.string().optional(),
  at: z.iso.datetime({ error: 'must be a UTC time such as 2026-11-25T08:30:00.000Z' }),
  /** When it was filled in, where it reached the server later. */
  filledIn: z.iso.datetime({ error: 'must be a UTC time such as 2026-11-25T08:30:00.000Z' }).optional(),
  by: z.object({ id: personId, name: z.string().min(1).max(80) }),
  kind: z.enum(entryKinds as [string, ...string[]], { error: 'is no kind of entry' }),
  subject: z.string().max(200),
  body: z.unknown(),
  key: z
    .string()
    .regex(/^[A-Za-z0-9_-]{8,64}(\.\d{1,3})?$/, 'must be the key of a form')
    .optional(),
  previous: digest.optional(),
  digest: digest.optional(),
});

export const jobFileSchema = z.object({
  format: z.literal('inlet-job/1', { error: 'must be inlet-job/1' }),
  job: z
    .string()
    .regex(jobNumber, 'must be a job number such as 2026-014')
    .refine((number) => number !== shopChain, 'is the name of the shop’s own logbook')
    .optional(),
  /** Who the file knows, with the roles that they held. */
  people: z
    .array(z.object({ id: personId, name: z.string().min(1).max(80), roles: z.array(z.enum(roles)) }))
    .max(200),
  instruments: z
    .array(instrumentSchema.extend({ id: z.string().max(40) }))
    .max(200)
    .default([]),
  /** Kept photos (JPEG) by their digest. */
  photos: z.record(digest, base64).default({}),
  /** Issued records (PDF) by their digest. */
  records: z.record(digest, base64).default({}),
  entries: z.array(fileEntry).min(1, 'must hold at least one entry').max(20_000),
});

/** A job as a file: its whole logbook with the photos and records that it names. */
export type JobFile = z.output<typeof jobFileSchema>;
export type FileEntry = JobFile['entries'][number] & NewEntry;

/**
 * Reads a job file. Throws AppError `bad-file` with one sentence that names the place: not JSON, another format, a body
 * that its kind does not allow, a key that comes twice, or digests that do not follow from the entries.
 */
export function readJobFile(text: string): JobFile {
  refuseLongLogbook(text.length > mostOfLogbook ? text.length - lengthOfBlobs(text) : text.length);
  let json: unknown;
  try {
    json = jsonOf(text);
  } catch {
    throw new AppError('bad-file', 'is not JSON');
  }
  return jobFileOf(json);
}

const megabyte = 1024 * 1024;
/** Of a job's file without its photos and records, bytes: three times what its most entries take, and five times less than they take read. */
const mostOfLogbook = 128 * megabyte;

/** Throws AppError `bad-file` where a logbook's text (bytes) would take gigabytes of memory, and a minute, before it could be refused. */
export function refuseLongLogbook(bytes: number): void {
  if (bytes > mostOfLogbook)
    throw new AppError(
      'bad-file',
      `holds a logbook of ${inMegabytes(bytes)} MB, and a job’s takes at most ${inMegabytes(mostOfLogbook)} MB`,
    );
}

const inMegabytes = (bytes: number) => Math.ceil(bytes / megabyte);

/** Photos and records stand in the text in base64, each between two quotes, many thousand letters long; nothing else there is. */
function lengthOfBlobs(text: string): number {
  let length = 0;
  for (let from = text.indexOf('"'); from >= 0; ) {
    const to = text.indexOf('"', from + 1);
    if (to - from > 1000 && /^[A-Za-z0-9+/=]+$/.test(text.slice(from + 1, from + 1000))) length += to - from;
    from = to;
  }
  return length;
}

/** The bytes of a file as one text. Throws AppError `bad-file` for more than one text may be. */
export function jobTextOf(bytes: Uint8Array): string {
  if (bytes.length > constants.MAX_STRING_LENGTH)
    throw new AppError(
      'bad-file',
      `is ${inMegabytes(bytes.length)} MB, and one text takes at most ${Math.floor(constants.MAX_STRING_LENGTH / megabyte)} MB: take the job out as a zip (export --zip), with its photos beside its logbook`,
    );
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('utf8');
}

/** The same from the value that a JSON text holds. */
export function jobFileOf(json: unknown): JobFile {
  refuseUnsealable(json);
  const read = jobFileSchema.safeParse(json);
  if (!read.success) throw new AppError('bad-file', sentence(read.error.issues[0], json));
  const file = read.data;
  file.entries.forEach((entry, k) => {
    const body = entryBodies[entry.kind as keyof typeof entryBodies].safeParse(entry.body);
    if (!body.success)
      throw new AppError(
        'bad-file',
        `entries.${k} (${entry.kind}): ${sentence(body.error.issues[0], entry.body)}`,
      );
    entry.body = body.data;
    if (entry.filledIn !== undefined && Date.parse(entry.filledIn) > Date.parse(entry.at))
      throw new AppError('bad-file', `entries.${k}.filledIn: is later than the entry was written`);
  });
  refuseSecondKey(file);
  refuseBrokenChain(file, json);
  return file;
}

const deepest = 40;

/** Half a letter has no canonical text and so no digest, and nothing that a shop writes is nested without end. */
function refuseUnsealable(json: unknown): void {
  let level: unknown[] = [json];
  for (let depth = 0; level.length > 0; depth += 1) {
    if (depth > deepest) throw new AppError('bad-file', 'is nested too deeply');
    const half = level.find((value) => typeof value === 'string' && !value.isWellFormed());
    if (half !== undefined) throw new AppError('bad-file', 'holds half a letter (a lone surrogate)');
    level = level.flatMap((value) =>
      typeof value === 'object' && value !== null ? [...Object.keys(value), ...Object.values(value)] : [],
    );
  }
}

function refuseSecondKey({ entries }: JobFile): void {
  const seen = new Set<string>();
  entries.forEach(({ key }, k) => {
    if (key !== undefined && seen.has(key))
      throw new AppError('bad-file', `entries.${k}.key: is that of an entry before it`);
    if (key !== undefined) seen.add(key);
  });
}

/** Where every entry carries its digest, the chain must hold as written; where some do and some do not, none is believed. */
function refuseBrokenChain(file: JobFile, raw: unknown): void {
  const withDigest = file.entries.filter((entry) => entry.digest !== undefined).length;
  if (withDigest === 0) return;
  if (withDigest < file.entries.length)
    throw new AppError('bad-file', 'some entries carry a digest and others do not');
  const fault = chainFault((raw as { entries: (Link & object)[] }).entries);
  if (fault !== undefined) throw new AppError('bad-file', `the digests do not hold: ${fault}`);
}

function sentence(issue: z.core.$ZodIssue | undefined, given: unknown): string {
  if (issue === undefined) return 'cannot be read';
  const place = issue.path.length > 0 ? `${issue.path.map(String).join('.')}: ` : '';
  return `${place}${issueSentence(issue, given)}`;
}
