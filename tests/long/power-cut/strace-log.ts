import { createReadStream } from 'node:fs';
import { createInterface } from 'node:readline';

/** What a process did to files, in order; times in milliseconds since 1970. */
export type FileEvent = { readonly at: number } & (
  | { readonly kind: 'write'; readonly file: string; readonly offset: number | 'end'; readonly bytes: Buffer }
  | { readonly kind: 'truncate'; readonly file: string; readonly length: number }
  | { readonly kind: 'sync'; readonly file: string }
  | { readonly kind: 'open'; readonly file: string; readonly create: boolean; readonly truncate: boolean }
  | { readonly kind: 'rename'; readonly file: string; readonly to: string }
  | { readonly kind: 'unlink'; readonly file: string }
);

/** The command that runs another under strace, and writes what `readStraceLog` reads. */
export const straceInto = (log: string): string[] => [
  ...['strace', '-f', '--seccomp-bpf', '-y', '-xx', '-ttt', '-s', '20000000', '-o', log],
  ...[
    '-e',
    'trace=openat,write,pwrite64,pwritev,fsync,fdatasync,ftruncate,rename,renameat,renameat2,unlink,unlinkat',
  ],
];

/** Reads a log of `straceInto`: the calls that succeeded on files under this folder. */
export async function readStraceLog(log: string, folder: string): Promise<FileEvent[]> {
  const events: FileEvent[] = [];
  const unfinished = new Map<string, string>();
  for await (const line of createInterface({ input: createReadStream(log, 'latin1') })) {
    const [, process, at, text] = /^(\d+)\s+(\d+\.\d+) (.*)$/.exec(line) ?? [];
    if (process === undefined || at === undefined || text === undefined) continue;
    if (text.endsWith('<unfinished ...>')) {
      unfinished.set(process, text.slice(0, -'<unfinished ...>'.length));
      continue;
    }
    const resumed = /^<\.\.\. \w+ resumed>(.*)$/.exec(text);
    const call = resumed === null ? text : `${unfinished.get(process) ?? ''}${resumed[1]}`;
    const [, name, words, answer] = /^(\w+)\((.*)\)\s+= (-?\d+)/.exec(call) ?? [];
    if (name === undefined || words === undefined || Number(answer) < 0) continue;
    const event = eventOf(name, words.trimEnd(), Number(answer));
    if (event?.file.startsWith(folder)) events.push({ ...event, at: Number(at) * 1000 });
  }
  return events;
}

type Bare<T> = T extends unknown ? Omit<T, 'at'> : never;

function eventOf(name: string, words: string, answer: number): Bare<FileEvent> | undefined {
  const [, held = ''] = /^\d+<([^>]*)>/.exec(words) ?? [];
  const file = held === '' ? '' : textOf(held);
  const quoted = [...words.matchAll(/"([^"]*)"/g)].map((m) => m[1] as string);
  switch (name) {
    case 'write':
      return { kind: 'write', file, offset: 'end', bytes: bytesOf(quoted[0] ?? '').subarray(0, answer) };
    case 'pwrite64': {
      const offset = Number(/, (\d+)$/.exec(words)?.[1]);
      return { kind: 'write', file, offset, bytes: bytesOf(quoted[0] ?? '').subarray(0, answer) };
    }
    case 'fsync':
    case 'fdatasync':
      return { kind: 'sync', file };
    case 'ftruncate':
      return { kind: 'truncate', file, length: Number(/, (\d+)$/.exec(words)?.[1]) };
    case 'openat':
      return {
        kind: 'open',
        file: textOf(quoted[0] ?? ''),
        create: words.includes('O_CREAT'),
        truncate: words.includes('O_TRUNC'),
      };
    case 'unlink':
      return { kind: 'unlink', file: textOf(quoted[0] ?? '') };
    case 'rename':
      return { kind: 'rename', file: textOf(quoted[0] ?? ''), to: textOf(quoted[1] ?? '') };
    default:
      throw new Error(`${name} is not followed by this model`);
  }
}

/** strace writes every byte of a text as \xNN. */
function bytesOf(text: string): Buffer {
  return Buffer.from(text.replaceAll('\\x', ''), 'hex');
}

function textOf(text: string): string {
  return text.startsWith('\\x') ? bytesOf(text).toString('utf8') : text;
}
