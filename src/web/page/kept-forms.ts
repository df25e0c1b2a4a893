import { randomBytes } from 'node:crypto';

/** What somebody typed in a form that was not taken, without any passphrase or file. */
export interface KeptForm {
  /** The address of the page that the form stands on. */
  readonly page: string;
  /** Whose page it was, by their id; '' where that is not known. */
  readonly by: string;
  /** The newest entry that the page was drawn from, '' where it named none. */
  readonly seen: string;
  /** How many files came with it. */
  readonly files: number;
  readonly typed: Readonly<Record<string, string | readonly string[]>>;
}

/** Forms that wait to be filled in again, each for one person. In memory alone: a restart takes them, and never what was sent. */
export interface KeptForms {
  /** Keeps it for an hour under a name that nobody can guess. */
  keep(person: string, kept: KeptForm): string;
  find(id: string, person: string): KeptForm | undefined;
  last(person: string): { readonly id: string; readonly kept: KeptForm } | undefined;
}

const lastsMs = 3_600_000;
/** All that are kept hold so much together, characters; beyond it the oldest go. */
const mostHeld = 8 * 1024 * 1024;

export function makeKeptForms(clock: () => Date): KeptForms {
  const all = new Map<string, { person: string; untilMs: number; kept: KeptForm; size: number }>();
  const now = () => clock().getTime();
  return {
    keep(person, kept) {
      const id = randomBytes(16).toString('base64url');
      all.set(id, { person, untilMs: now() + lastsMs, kept, size: JSON.stringify(kept).length });
      let held = [...all.values()].reduce((sum, { size }) => sum + size, 0);
      for (const [oldest, { untilMs, size }] of all) {
        if (untilMs > now() && held <= mostHeld) break;
        all.delete(oldest);
        held -= size;
      }
      return id;
    },
    find(id, person) {
      const found = all.get(id);
      return found?.person === person && found.untilMs > now() ? found.kept : undefined;
    },
    last(person) {
      const [id, one] = [...all].findLast(([, k]) => k.person === person && k.untilMs > now()) ?? [];
      return id === undefined || one === undefined ? undefined : { id, kept: one.kept };
    },
  };
}
