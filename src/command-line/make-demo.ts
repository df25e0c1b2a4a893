import { AppError, type Result } from '../errors.js';
import type { Role } from '../logbook/shop-entry.js';
import { accept } from '../steps/accept.js';
import type { Asker } from '../steps/proposal.js';
import { importJob } from '../store/carry/import-job.js';
import type { JobFile } from '../store/carry/job-file.js';
import { issueJob } from '../store/issue-job.js';
import type { Store } from '../store/open-store.js';
import { makePassphrase } from '../store/people/passphrase.js';
import { openShopSigner } from '../store/shop-signer.js';
import { makeShop } from '../web/people/set-up-page.js';
import { addPersonWithPassphrase } from '../web/session/people.js';

interface Demo {
  readonly number: string;
  readonly revision: number;
  readonly pdf: Buffer;
  readonly people: readonly {
    readonly name: string;
    readonly signIn: string;
    readonly roles: string;
    readonly passphrase: string;
  }[];
}

/** The invented shop of the demonstration, its people with passphrases made for the occasion, its job and its record. */
export async function makeDemo(store: Store, clock: () => Date, file: JobFile): Promise<Demo> {
  const cast = castOf(file);
  const [first, ...others] = cast;
  if (first === undefined) throw new AppError('bad-file', 'the demonstration job names nobody');
  const shop = {
    name: 'Thimble Lane Vanworks',
    place: 'Thimble Lane (invented)',
    reach: '555-0142 (invented)',
    units: 'imperial',
    zone: 'America/New_York',
  };
  unwrap(
    await makeShop({ store, clock }, { shop, person: first, passphrase: first.passphrase, id: first.id }),
  );
  const by = { id: first.id, name: first.name };
  for (const person of others) {
    const { id, passphrase } = person;
    unwrap(await addPersonWithPassphrase(store, { by, person, passphrase, how: 'set-up', id }));
  }
  for (const { id, ...instrument } of file.instruments) {
    unwrap(
      store.shop.append({
        by,
        decide: () => ({ ok: true, value: [{ kind: 'instrument added', subject: id, body: instrument }] }),
      }),
    );
  }
  const { number } = await importJob(store, file);
  const issued = await issueDemo(store, clock, number, { ...by, roles: first.roles });
  return {
    number,
    revision: issued.revision,
    pdf: issued.pdf,
    people: cast.map(({ name, signIn, roles, passphrase }) => ({
      name,
      signIn,
      passphrase,
      roles: roles.join(', '),
    })),
  };
}

async function issueDemo(store: Store, clock: () => Date, number: string, by: Asker) {
  const log = store.logbook.log(number);
  const strokes = log.issued.at(-1)?.body.signature.strokes ?? [];
  const { pdf, body } = await issueJob(
    store,
    { signer: openShopSigner(store) },
    {
      job: number,
      revision: log.issued.length + 1,
      at: clock().toISOString(),
      by: by.name,
      signature: { name: by.name, strokes },
    },
  );
  const { revision, sha256 } = body;
  const people = store.shop.state().people.filter((person) => person.active);
  unwrap(
    store.logbook.append({
      job: number,
      key: 'demonstration-record',
      by,
      content: 'demonstration',
      decide: (now) => accept(now, { kind: 'record issued', subject: 'job', body }, { by, people }),
      attach: { records: [{ sha256, job: number, revision, pdf }] },
    }),
  );
  return { revision, pdf };
}

/** The people of the file: the first fitter keeps the shop too, so that the demonstration shows every page. */
function castOf(file: JobFile) {
  return file.people
    .filter((person) => person.roles.length > 0)
    .map(({ id, name, roles }, k) => ({
      id,
      name,
      signIn: (name.split(' ')[0] as string).toLowerCase(),
      roles: k === 0 ? ([...new Set([...roles, 'keeper'])] as Role[]) : roles,
      passphrase: makePassphrase(),
    }));
}

function unwrap<T>(result: Result<T>): T {
  if (result.ok) return result.value;
  throw new AppError('bad-file', 'The demonstration job cannot be loaded.', { issues: result.issues });
}
