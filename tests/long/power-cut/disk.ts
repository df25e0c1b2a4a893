import type { FileEvent } from './strace-log.js';

/** What of the writes that were never confirmed is on the disk after the cut. */
export type Survivors = 'none' | 'all' | 'some sectors';

type Change = { readonly offset: number; readonly bytes: Buffer } | { readonly length: number };
interface Inode {
  kept: Buffer;
  /** How long it is to the process, which sees its own writes. */
  length: number;
  pending: Change[];
}
type NameChange = { readonly name: string; readonly inode: Inode | undefined };

const sector = 512;

/**
 * One folder of a disk as a power cut sees it: what was written to a file is pending until the file is fsynced, and any 512
 * bytes of it may be there or not; names are pending until the folder is fsynced, and are kept in their order.
 */
export class Disk {
  readonly #live = new Map<string, Inode>();
  readonly #kept = new Map<string, Inode>();
  #pendingNames: NameChange[] = [];

  constructor(
    readonly folder: string,
    files: ReadonlyMap<string, Buffer>,
    readonly chance: () => number,
  ) {
    for (const [name, bytes] of files) {
      const inode = { kept: bytes, length: bytes.length, pending: [] };
      this.#live.set(name, inode);
      this.#kept.set(name, inode);
    }
  }

  follow(event: FileEvent): void {
    if (event.file === this.folder) {
      if (event.kind === 'sync') this.#keepNames();
      return;
    }
    const name = event.file.slice(this.folder.length + 1);
    const inode = this.#live.get(name);
    switch (event.kind) {
      case 'open':
        if (inode === undefined && event.create)
          this.#name(name, { kept: Buffer.alloc(0), length: 0, pending: [] });
        else if (inode !== undefined && event.truncate) change(inode, { length: 0 });
        return;
      case 'rename':
        this.#name(event.to.slice(this.folder.length + 1), inode);
        this.#name(name, undefined);
        return;
      case 'unlink':
        this.#name(name, undefined);
        return;
      case 'sync':
        if (inode !== undefined) keep(inode);
        return;
      case 'truncate':
        if (inode !== undefined) change(inode, { length: event.length });
        return;
      case 'write':
        if (inode !== undefined)
          change(inode, { offset: event.offset === 'end' ? inode.length : event.offset, bytes: event.bytes });
    }
  }

  /** The folder's files as the next start finds them. */
  afterCut(survivors: Survivors): Map<string, Buffer> {
    const names = new Map(this.#kept);
    const count = { none: 0, all: this.#pendingNames.length }[survivors as 'none' | 'all'];
    const namesKept = count ?? Math.floor(this.chance() * (this.#pendingNames.length + 1));
    for (const { name, inode } of this.#pendingNames.slice(0, namesKept)) setName(names, name, inode);
    return new Map([...names].map(([name, inode]) => [name, this.#contents(inode, survivors)]));
  }

  #contents({ kept, pending }: Inode, survivors: Survivors): Buffer {
    if (pending.length === 0 || survivors === 'none') return kept;
    if (survivors === 'all') return withChanges(kept, pending);
    return withChanges(
      kept,
      pending.flatMap((one) => this.#torn(one)),
    );
  }

  #torn(one: Change): Change[] {
    if ('length' in one) return this.chance() < 0.5 ? [one] : [];
    const pieces: Change[] = [];
    for (let at = 0; at < one.bytes.length; at += sector)
      if (this.chance() < 0.5)
        pieces.push({ offset: one.offset + at, bytes: one.bytes.subarray(at, at + sector) });
    return pieces;
  }

  #name(name: string, inode: Inode | undefined): void {
    setName(this.#live, name, inode);
    this.#pendingNames.push({ name, inode });
  }

  #keepNames(): void {
    for (const { name, inode } of this.#pendingNames) setName(this.#kept, name, inode);
    this.#pendingNames = [];
  }
}

function setName(names: Map<string, Inode>, name: string, inode: Inode | undefined): void {
  if (inode === undefined) names.delete(name);
  else names.set(name, inode);
}

function change(inode: Inode, one: Change): void {
  inode.pending.push(one);
  inode.length = 'length' in one ? one.length : Math.max(inode.length, one.offset + one.bytes.length);
}

function keep(inode: Inode): void {
  inode.kept = withChanges(inode.kept, inode.pending);
  inode.pending = [];
}

function withChanges(before: Buffer, changes: readonly Change[]): Buffer {
  const size = (one: Change) => ('length' in one ? one.length : one.offset + one.bytes.length);
  const after = Buffer.alloc(Math.max(before.length, ...changes.map(size)));
  before.copy(after);
  let { length } = before;
  for (const one of changes) {
    if ('length' in one) {
      after.fill(0, one.length);
      length = one.length;
    } else {
      one.bytes.copy(after, one.offset);
      length = Math.max(length, size(one));
    }
  }
  return after.subarray(0, length);
}
