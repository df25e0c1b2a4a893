import multipart from '@fastify/multipart';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import { AppError } from '../../errors.js';
import { sha256Of } from '../../logbook/sha256.js';
import { typedOf } from './form.js';
import { refuseLong } from './form-size.js';

/** A file that a form carried. Its name is the sender's word and is never used as a path. */
export interface Upload {
  readonly field: string;
  readonly filename: string;
  readonly bytes: Buffer;
  readonly sha256: string;
  /** Why it is not taken, for the page to say beside its field; nothing of it was kept then. */
  readonly refused?: string;
}

const megabyte = 1024 * 1024;
const uploadLimits = {
  fileBytes: 15 * megabyte,
  files: 8,
  allBytes: 60 * megabyte,
  fields: 400,
  /** All forms that are under way hold so much together. */
  heldBytes: 120 * megabyte,
};
/**
 * So many more are read past and refused by their field; a form with more yet is refused as a whole. Of whoever is signed in a whole
 * shelf of photos is read past, and words of a length that nobody types, so that what was typed behind them can come back.
 */
const readPast = {
  stranger: { files: 64, characters: 128 * 1024 },
  person: { files: 1000, characters: 1024 * 1024 },
};

/**
 * Reads multipart forms whole, within limits, before the tokens are checked: text fields become `request.body`,
 * files `request.uploads`. A file over a limit is refused, never cut short, and read past, so that the rest of the form
 * is there to be shown again.
 */
export async function takeUploads(app: FastifyInstance): Promise<void> {
  await app.register(multipart, {
    throwFileSizeLimit: false,
    limits: {
      fileSize: uploadLimits.fileBytes,
      fields: uploadLimits.fields,
      fieldNameSize: 200,
    },
  });
  app.decorateRequest('uploads', undefined);
  const memory = { held: 0 };
  const mine = new WeakMap<FastifyRequest, number>();
  const hold = (request: FastifyRequest, size: number): boolean => {
    if (memory.held + size > uploadLimits.heldBytes) return false;
    memory.held += size;
    mine.set(request, (mine.get(request) ?? 0) + size);
    return true;
  };
  const letGo = async (request: FastifyRequest) => {
    memory.held -= mine.get(request) ?? 0;
    mine.delete(request);
  };
  app.addHook('onResponse', letGo);
  app.addHook('onRequestAbort', letGo);
  app.addHook('preValidation', async (request) => {
    if (request.isMultipart()) await readParts(request, (size) => hold(request, size)).catch(toldApart);
  });
}

async function readParts(request: FastifyRequest, hold: (size: number) => boolean): Promise<void> {
  const body: Record<string, string | string[]> = Object.create(null);
  const uploads: Upload[] = [];
  const { files, characters } = request.person || request.readBack ? readPast.person : readPast.stranger;
  const limits = { files, fieldSize: characters, parts: files + uploadLimits.fields };
  let total = 0;
  // Whatever breaks off, what came before it can be shown again.
  request.body = body;
  request.uploads = uploads;
  let typed = 0;
  for await (const part of request.parts({ limits })) {
    if (part.type === 'field') {
      if (part.fieldnameTruncated) throw new AppError('too-large');
      addField(body, part.fieldname, String(part.value));
      typed += String(part.value).length;
      if (part.valueTruncated || typed > characters) refuseLong(typedOf(request), 0);
      continue;
    }
    const read = await readFile(part.file, (size) => {
      if (request.readBack) return 'is not kept: choose it again';
      if (uploads.length >= uploadLimits.files)
        return `is one too many: send at most ${uploadLimits.files} at once`;
      total += size;
      if (total > uploadLimits.allBytes) return 'is too much with the others: send fewer at once';
      return hold(size) ? undefined : 'came while many others were sent: wait a minute and send it again';
    });
    // A file field that was left empty comes as a file of no name and no bytes.
    if (read.bytes.length === 0 && read.refused === undefined && !part.filename) continue;
    uploads.push(uploadOf(part.fieldname, part.filename, read));
  }
}

/** Reads a file to its end. `over` is asked with the size of each piece and answers why no more of it is kept. */
async function readFile(
  file: AsyncIterable<Buffer> & { readonly truncated: boolean },
  over: (size: number) => string | undefined,
): Promise<Pick<Upload, 'bytes' | 'refused'>> {
  const pieces: Buffer[] = [];
  let refused = over(0);
  for await (const piece of file) {
    refused ??= over(piece.length);
    if (refused === undefined) pieces.push(piece);
    else pieces.length = 0;
  }
  if (file.truncated) refused ??= `is larger than ${uploadLimits.fileBytes / megabyte} MB: send it smaller`;
  if (refused !== undefined) return { bytes: Buffer.alloc(0), refused };
  return { bytes: Buffer.concat(pieces) };
}

/** Limits are named by the parser; anything else that it stumbles on is a body that breaks off or is none. */
function toldApart(error: unknown): never {
  const named = error instanceof AppError || (error as { statusCode?: unknown }).statusCode !== undefined;
  throw named ? error : new AppError('bad-request', undefined, { cause: error });
}

function uploadOf(field: string, filename: string, read: Pick<Upload, 'bytes' | 'refused'>): Upload {
  const { bytes } = read;
  const refused = read.refused ?? (bytes.length === 0 ? 'is an empty file: choose it again' : undefined);
  const sha256 = sha256Of(bytes);
  return { field, filename, bytes, sha256, ...(refused === undefined ? {} : { refused }) };
}

function addField(body: Record<string, string | string[]>, name: string, value: string): void {
  const before = body[name];
  body[name] = before === undefined ? value : [before, value].flat();
}

declare module 'fastify' {
  interface FastifyRequest {
    uploads: readonly Upload[] | undefined;
  }
}
