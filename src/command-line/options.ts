import { parseArgs } from 'node:util';
import { type Io, UsageError } from '../command.js';

type Options = Readonly<Record<string, { readonly type: 'boolean' | 'string' }>>;

/** A command as a person calls it: its name, its options beside --help, and its arguments, the last any number of times with `more`. */
interface Usage<O extends Options, N extends readonly string[]> {
  readonly command: string;
  readonly help: readonly string[];
  readonly options?: O;
  readonly names?: N;
  readonly more?: true;
}

/** The values of a command's options, and behind them its arguments. */
type Given<O extends Options, N extends readonly string[]> = readonly [
  values: { readonly [K in keyof O]?: O[K]['type'] extends 'boolean' ? boolean : string },
  ...names: { readonly [K in keyof N]: string },
];

/**
 * What a command was given; undefined where its help was asked for, and printed. Throws UsageError with what node:util complains of, or
 * how many arguments it needs, as one line for a person.
 */
export function readArguments<O extends Options = Options, const N extends readonly string[] = []>(
  { command, help, options, names, more }: Usage<O, N>,
  args: readonly string[],
  io: Io,
): Given<O, N> | undefined {
  const { values, positionals } = parsed(command, args, { ...options, help: { type: 'boolean' } });
  if (values.help === true) {
    for (const line of help) io.out(line);
    return undefined;
  }
  const needed = names?.length ?? 0;
  if (more ? positionals.length < needed : positionals.length !== needed) {
    const needs = needed === 0 ? 'takes no argument' : `needs ${names?.join(' ')}`;
    throw new UsageError(`${command}: ${needs}, was given ${positionals.join(' ') || 'none'}`);
  }
  return [values, ...positionals] as unknown as Given<O, N>;
}

function parsed(command: string, args: readonly string[], options: Options) {
  try {
    return parseArgs({ args: [...args], options, allowPositionals: true, strict: true });
  } catch (error) {
    throw new UsageError(`${command}: ${firstLine(error)}`);
  }
}

/** Options that every command over a data folder takes. */
export const storeOptions = { data: { type: 'string' } } as const;
export const serveOptions = { ...storeOptions, port: { type: 'string' }, host: { type: 'string' } } as const;

/** The authority that is asked for timestamps, by what issues records. */
export const timestampOption = { timestamp: { type: 'string' } } as const;

function firstLine(error: unknown): string {
  const sentence = error instanceof Error ? error.message : String(error);
  return (sentence.split('\n')[0] as string).split('. To specify')[0]!.replace(/\.$/, '');
}
