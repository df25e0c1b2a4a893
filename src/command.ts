/** What a command may touch of the world: two streams and the files that its arguments name. */
export interface Io {
  out(line: string): void;
  err(line: string): void;
  readFile(path: string): Promise<string>;
}

/** What a command needs that reads or writes files which are no text. */
export interface FileIo extends Io {
  readBytes(path: string): Promise<Uint8Array>;
  /** Writes a new file; refused with the code `EEXIST` where one is there already. */
  writeBytes(path: string, bytes: Uint8Array): Promise<void>;
  /** Asks a person for a word that is not shown; there only where there is a terminal. */
  askSecret?(question: string): Promise<string>;
}

/** A command was given an argument or a file that it cannot use: one line for the person, exit 2. */
export class UsageError extends Error {
  readonly exitCode = 2;

  constructor(message: string) {
    super(message);
    this.name = 'UsageError';
  }
}

/** A stranger's file must not write lines of its own, nor steer the terminal. */
export function plainLine(line: string): string {
  return line.replace(/[\p{Cc}\p{Cf}\u2028\u2029]/gu, '?');
}
