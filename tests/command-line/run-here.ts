import { readFile } from 'node:fs/promises';
import { writeNew } from '../../src/command-line/write-out.js';
import { runCommand } from '../../src/run-command.js';

/** A command in this process, with what it said. */
export async function runHere(...args: readonly string[]) {
  const { asked: _none, ...said } = await runTyping(undefined, ...args);
  return said;
}

/** The same at a terminal, where a person types `typed` to whatever is asked; without it there is no terminal. */
export async function runTyping(typed: string | undefined, ...args: readonly string[]) {
  const said = { out: [] as string[], err: [] as string[], asked: [] as string[] };
  const status = await runCommand(args, {
    out: (line) => void said.out.push(line),
    err: (line) => void said.err.push(line),
    readFile: (path) => readFile(path, 'utf8'),
    readBytes: (path) => readFile(path),
    writeBytes: writeNew,
    ...(typed !== undefined && {
      askSecret: async (question: string) => {
        said.asked.push(question);
        return typed;
      },
    }),
  });
  return { status, out: said.out.join('\n'), err: said.err.join('\n'), asked: said.asked };
}
