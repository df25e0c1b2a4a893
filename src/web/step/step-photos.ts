import type { FastifyRequest } from 'fastify';
import type { Issue, Result } from '../../errors.js';
import type { NewEntry } from '../../logbook/entry.js';
import { sha256Of } from '../../logbook/sha256.js';
import type { Ask, Step } from '../../steps/step.js';
import type { NewPhoto } from '../../store/photo-store.js';
import { takePhoto } from '../../store/take-photo.js';
import { writeEntries } from '../job/job-at.js';
import { keyOf, one, overLong, typedOf } from '../page/form.js';
import { contentOf } from '../page/page.js';
import type { Upload } from '../page/uploads.js';
import type { Services } from '../services.js';

/** The name of the field that carries a photo for an ask. */
export const photoField = (ask: string) => `photo.${ask}`;

/**
 * Keeps every photo that a step's form carried, each for the ask of its field (for `otherwise` where the field names
 * none). They go under a key of their own, so that what is typed beside them can be sent later with the form's. Answers
 * with what must be mended, nothing where they are kept.
 */
export async function keepPhotos(
  request: FastifyRequest,
  services: Services,
  number: string,
  step: Step,
  otherwise?: Ask,
): Promise<Issue[]> {
  const caption = one(typedOf(request), 'caption').trim();
  const long = overLong('caption', caption, 200);
  if (long.length > 0) return long;
  const photos: NewPhoto[] = [];
  const entries: NewEntry[] = [];
  const uploads = request.uploads ?? [];
  for (const [k, upload] of uploads.entries()) {
    const which = uploads.length === 1 ? '' : ` (file ${k + 1} of ${uploads.length})`;
    const ask = askOf(upload, step) ?? otherwise;
    if (ask === undefined) return [{ field: '', message: 'This step asks for no such photo.' }];
    const taken = await takeUpload(upload, photoField(ask.id));
    if (!taken.ok) return taken.issues.map((issue) => ({ ...issue, message: `${issue.message}${which}` }));
    const { id, original, widthPx, heightPx } = taken.value;
    photos.push(taken.value);
    entries.push({
      kind: 'photo added',
      subject: `step:${step.id}`,
      body: { photo: id, original, caption, widthPx, heightPx, ask: ask.id },
    });
  }
  const written = await writeEntries(request, services, number, entries, {
    attach: { photos },
    key: keyOfPhotos(request),
    content: { ...contentOf(request), typed: caption, path: `photos of ${step.id}` },
  });
  const field = otherwise === undefined ? '' : photoField(otherwise.id);
  return written.ok ? [] : written.issues.map(({ message }) => ({ field, message }));
}

async function takeUpload({ bytes, refused }: Upload, field: string): Promise<Result<NewPhoto>> {
  return refused === undefined
    ? takePhoto(bytes, field)
    : { ok: false, issues: [{ field, message: refused }] };
}

function askOf(upload: Upload, step: Step): Ask | undefined {
  return step.asks.find((a) => a.kind === 'photo' && photoField(a.id) === upload.field);
}

/** One key for each form and choice of photos; a form that came without its key gets none. */
function keyOfPhotos(request: FastifyRequest): string {
  const key = keyOf(request);
  if (key === '') return '';
  const sent = (request.uploads ?? []).map((upload) => `${upload.field} ${upload.sha256}`);
  return sha256Of([key, ...sent].join('\n'));
}
