/** What a command may touch of the world: two streams and the files that its arguments name. */
export interface Io {
  out(line: string): void;
  err(line: string): void;
  readFile(path: string): Promise<string>;
}

/** A command was given an argument or a file that it cannot use: one line for the person, exit 2. */
export class UsageError extends Error {
  readonly exitCode = 2;

  constructor(message: string) {
    super(message);
    this.name = 'UsageError';
  }
}
