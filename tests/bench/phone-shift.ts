import { createHash } from 'node:crypto';
import { setTimeout as pause } from 'node:timers/promises';
import { randomFrom } from '../random-from.js';
import { formOn } from '../web/read-form.js';
import { passphrase } from '../web/shop-under-test.js';
import { type Answer, Phone } from './served/phone.js';
import { marked } from './served/pictures.js';

/** One saved thing in so many is a photo; one form in so many loses its answer and is sent again under its key. */
const onePhotoIn = 4;
const oneLostIn = 8;
const reading = 'voltage.hot-neutral.bench';
const photoStep = 'look-behind';
const meter = 'i-meter';

/** What the phones of a measure saw. */
export interface Seen {
  /** What a phone was told is kept: a reading by its form's key, a photo by the digest of what was sent. */
  readonly kept: { readonly job: string; readonly key?: string; readonly photo?: string }[];
  readonly answers: { readonly what: 'page' | 'reading' | 'photo' | 'sign-in'; readonly ms: number }[];
  /** Whatever was no page, no saved form and no wish to wait at the sign-in, in words. */
  readonly faults: string[];
  /** Forms whose answer was lost on purpose. */
  lost: number;
}

interface Shift {
  readonly server: string;
  /** Which phone it is, from 1: by that its address and its luck. */
  readonly k: number;
  readonly signIn: string;
  readonly job: string;
  readonly everyMs: number;
  readonly forMs: number;
  readonly picture: Buffer;
  readonly seen: Seen;
}

/** One phone's shift: sign in, open the job, and then at every beat open a form, fill it in and save it. */
export async function workShift({
  server,
  k,
  signIn,
  job,
  everyMs,
  forMs,
  picture,
  seen,
}: Shift): Promise<void> {
  const phone = new Phone(server, k);
  const chance = randomFrom(k);
  /** The answer, where it is one of those that are wanted; a fault is noted and the work goes on. */
  const note: Note = async (what, wanted, ask) => {
    try {
      const answer = await ask();
      seen.answers.push({ what, ms: answer.ms });
      if (wanted.includes(answer.status)) return answer;
      seen.faults.push(`a ${what} answers ${answer.status}`);
    } catch (error) {
      seen.faults.push(`a ${what}: ${String(error)}`);
    }
    return undefined;
  };
  const save = async (
    what: 'reading' | 'photo',
    path: string,
    form: FormData | URLSearchParams,
    kept: Seen['kept'][number],
  ) => {
    if (chance() < 1 / oneLostIn) {
      await phone.post(path, form, { lost: true });
      seen.lost += 1;
    }
    if (await note(what, [303], () => phone.post(path, form))) seen.kept.push(kept);
  };

  await enter(phone, signIn, note, seen.faults);
  await note('page', [200], () => phone.get(`/jobs/${job}`));
  const begun = performance.now() + chance() * everyMs;
  for (let n = 0; n * everyMs < forMs; n += 1) {
    await pause(Math.max(0, begun + n * everyMs - performance.now()));
    const photo = chance() < 1 / onePhotoIn;
    const path = photo ? `/jobs/${job}/steps/${photoStep}` : `/jobs/${job}/readings/${reading}`;
    const page = await note('page', [200], () => phone.get(path));
    if (page === undefined) continue;
    if (photo) {
      const { ask, ...fields } = formOn(page.body, `${path}/photos`);
      const bytes = marked(picture, `${job} ${n}`);
      const form = new FormData();
      for (const [name, value] of Object.entries({ ...fields, ask: ask ?? '' })) form.append(name, value);
      form.append(`photo.${ask}`, new Blob([bytes], { type: 'image/jpeg' }), 'photo.jpg');
      const digest = createHash('sha256').update(bytes).digest('hex');
      await save('photo', `${path}/photos`, form, { job, photo: digest });
    } else {
      const fields = formOn(page.body, path);
      const form = new URLSearchParams({
        ...fields,
        instrument: meter,
        volts: (119 + chance() * 2).toFixed(1),
      });
      await save('reading', path, form, { job, key: fields._key as string });
    }
  }
  phone.close();
}

type Note = (
  what: Seen['answers'][number]['what'],
  wanted: readonly number[],
  ask: () => Promise<Answer>,
) => Promise<Answer | undefined>;

/** Where too many come in at one moment a person is told how long to wait, and does. */
async function enter(phone: Phone, signIn: string, note: Note, faults: readonly string[]): Promise<void> {
  const page = await note('page', [200], () => phone.get('/sign-in'));
  const form = new URLSearchParams({ ...formOn(page?.body ?? '', '/sign-in'), signIn, passphrase });
  for (;;) {
    const entered = await note('sign-in', [303, 429], () => phone.post('/sign-in', form));
    if (entered?.status === 303) return;
    if (entered === undefined) throw new Error(`${signIn} cannot come in: ${faults.at(-1)}`);
    // A server lets go of a connection that is quiet for as long as that; a phone opens another.
    phone.close();
    await pause(1000 * Number(entered.headers['retry-after'] ?? 5));
  }
}
