import { createHash } from 'node:crypto';
import multipart from '@fastify/multipart';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import { AppError } from '../errors.js';

/** A file that a form carried. Its name is the sender's word and is never used as a path. */
export interface Upload {
  readonly field: string;
  readonly filename: string;
  readonly bytes: Buffer;
  readonly sha256: string;
}

const megabyte = 1024 * 1024;
export const uploadLimits = { fileBytes: 15 * megabyte, files: 8, allBytes: 60 * megabyte, fields: 400 };

/**
 * Reads multipart forms whole, within limits, before the tokens are checked: text fields become `request.body`,
 * files `request.uploads`. What is over a limit is refused, never cut short.
 */
export async function takeUploads(app: FastifyInstance): Promise<void> {
  await app.register(multipart, {
    limits: {
      fileSize: uploadLimits.fileBytes,
      files: uploadLimits.files,
      fields: uploadLimits.fields,
      fieldSize: 128 * 1024,
      fieldNameSize: 200,
      parts: uploadLimits.files + uploadLimits.fields,
    },
  });
  app.decorateRequest('uploads', undefined);
  app.addHook('preValidation', async (request) => {
    if (request.isMultipart()) await readParts(request).catch(toldApart);
  });
}

async function readParts(request: FastifyRequest): Promise<void> {
  const body: Record<string, string | string[]> = Object.create(null);
  const uploads: Upload[] = [];
  let total = 0;
  for await (const part of request.parts()) {
    if (part.type === 'file') {
      const bytes = await part.toBuffer();
      total += bytes.length;
      if (part.file.truncated || total > uploadLimits.allBytes) throw new AppError('too-large');
      // A file field that was left empty comes as a file of no bytes.
      if (bytes.length > 0) uploads.push(uploadOf(part.fieldname, part.filename, bytes));
    } else {
      if (part.valueTruncated || part.fieldnameTruncated) throw new AppError('too-large');
      addField(body, part.fieldname, String(part.value));
    }
  }
  request.body = body;
  request.uploads = uploads;
}

/** Limits are named by the parser; anything else that it stumbles on is a body that breaks off or is none. */
function toldApart(error: unknown): never {
  const named = error instanceof AppError || (error as { statusCode?: unknown }).statusCode !== undefined;
  throw named ? error : new AppError('bad-request', undefined, { cause: error });
}

function uploadOf(field: string, filename: string, bytes: Buffer): Upload {
  return { field, filename, bytes, sha256: createHash('sha256').update(bytes).digest('hex') };
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
