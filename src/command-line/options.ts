import { type ParseArgsConfig, parseArgs } from 'node:util';
import { UsageError } from '../command.js';

type Options = NonNullable<ParseArgsConfig['options']>;

/** A command's arguments by node:util, with its complaints told as one line for a person. `more`: its last one any number of times. */
export function readArguments(
  command: string,
  args: readonly string[],
  options: Options,
  positionals: { readonly names: readonly string[]; readonly more?: true },
): { values: Record<string, string | boolean | undefined>; positionals: string[] } {
  let read: ReturnType<typeof parseArgs>;
  try {
    read = parseArgs({
      args: [...args],
      options: { ...options, help: { type: 'boolean' } },
      allowPositionals: true,
      strict: true,
    });
  } catch (error) {
    throw new UsageError(`${command}: ${firstLine(error)}`);
  }
  const { names, more } = positionals;
  const given = read.positionals.length;
  const fits = more ? given >= names.length : given === names.length;
  if (read.values.help !== true && !fits)
    throw new UsageError(
      `${command}: ${names.length === 0 ? 'takes no argument' : `needs ${names.join(' ')}`}, was given ${read.positionals.length === 0 ? 'none' : read.positionals.join(' ')}`,
    );
  return {
    values: read.values as Record<string, string | boolean | undefined>,
    positionals: read.positionals,
  };
}

/** Options that every command over a data folder takes. */
export const storeOptions = { data: { type: 'string' } } as const;
export const serveOptions = { ...storeOptions, port: { type: 'string' }, host: { type: 'string' } } as const;

/** The authority that is asked for timestamps, by what issues records. */
export const timestampOption = { timestamp: { type: 'string' } } as const;

/** A string option, undefined where it was not given. */
export function text(value: string | boolean | undefined): string | undefined {
  return typeof value === 'string' ? value : undefined;
}

function firstLine(error: unknown): string {
  const sentence = error instanceof Error ? error.message : String(error);
  return (sentence.split('\n')[0] as string).split('. To specify')[0]!.replace(/\.$/, '');
}
