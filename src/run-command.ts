import { type FileIo, plainLine, UsageError } from './command.js';
import { AppError } from './errors.js';

type Run = (args: readonly string[], io: FileIo) => Promise<number>;

/** Each command with one line about it; its module is loaded only when it is asked for. */
const commands: Readonly<Record<string, { readonly about: string; readonly load: () => Promise<Run> }>> = {
  serve: {
    about: 'serve a shop',
    load: async () => (await import('./command-line/serve-command.js')).runServe,
  },
  demo: {
    about: 'serve an invented shop with a finished job',
    load: async () => (await import('./command-line/demo-command.js')).runDemo,
  },
  check: {
    about: 'the sheet of a circuit file',
    load: async () => (await import('./command-line/check-command.js')).runCheck,
  },
  diagnose: {
    about: 'which wire the readings of a file point to',
    load: async () => (await import('./command-line/diagnose-command.js')).runDiagnose,
  },
  record: {
    about: 'the signed record of a job file',
    load: async () => (await import('./command-line/record-command.js')).runRecord,
  },
  verify: {
    about: 'whether a record is as it was issued',
    load: async () => (await import('./command-line/verify-command.js')).runVerify,
  },
  export: {
    about: 'a job as a file',
    load: async () => (await import('./command-line/export-command.js')).runExport,
  },
  import: {
    about: 'a job file into a shop',
    load: async () => (await import('./command-line/import-command.js')).runImport,
  },
  backup: {
    about: 'the whole shop in one file',
    load: async () => (await import('./command-line/backup-command.js')).runBackup,
  },
  restore: {
    about: 'a backup into an empty folder',
    load: async () => (await import('./command-line/restore-command.js')).runRestore,
  },
  'check-data': {
    about: 'whether everything in a data folder agrees',
    load: async () => (await import('./command-line/check-data-command.js')).runCheckData,
  },
  'keeper-passphrase': {
    about: 'a passphrase for a keeper who forgot theirs',
    load: async () => (await import('./command-line/keeper-passphrase-command.js')).runKeeperPassphrase,
  },
  key: {
    about: 'a signing key of the shop’s own',
    load: async () => (await import('./command-line/key-command.js')).runKey,
  },
};

/** Runs a command and answers its exit code; what goes wrong is one line for a person, never a trace. */
export async function runCommand(args: readonly string[], io: FileIo): Promise<number> {
  const plain = { ...io, err: (line: string) => io.err(plainLine(line)) };
  return named(args, plain).catch((error: unknown) => told(error, plain, io));
}

async function named(args: readonly string[], io: FileIo): Promise<number> {
  const [name, ...rest] = args;
  if (name === undefined || name === '--help' || name === 'help') {
    for (const line of overview()) io.out(line);
    return name === undefined ? 2 : 0;
  }
  const command = Object.hasOwn(commands, name) ? commands[name] : undefined;
  if (command === undefined)
    throw new UsageError(`${name} is no command; try one of ${Object.keys(commands).join(', ')}, or --help`);
  return (await command.load())(rest, io);
}

function overview(): string[] {
  return [
    'Usage: inlet-logbook COMMAND …',
    '',
    ...Object.entries(commands).map(([name, { about }]) => `  ${name.padEnd(18)} ${about}`),
    '',
    'Each command has --help. A guide and a notebook for adding a shore-power inlet to a van; no approval.',
  ];
}

/** 2 for an argument or a file, 1 for anything else. */
function told(error: unknown, io: FileIo, traces: FileIo): number {
  if (error instanceof UsageError) {
    io.err(error.message);
    return error.exitCode;
  }
  if (error instanceof AppError && error.code !== 'unexpected') {
    const more = error.issues
      .map(({ field, message }) => (field ? `${field}: ${message}` : message))
      .join('; ');
    io.err(more === '' ? error.message : `${error.message} ${more}`);
    return error.code === 'bad-argument' || error.code === 'bad-file' ? 2 : 1;
  }
  traces.err(error instanceof Error ? (error.stack ?? error.message) : String(error));
  return 1;
}
