import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { runTool } from '../record/outside-tool.js';

/** Where Debian keeps the libraries of its Java packages. */
const library = '/usr/share/java';
const needed =
  /^(preflight|pdfbox2|xmpbox|fontbox2|commons-logging|bcprov|bcpkix|bcutil|javax\.activation|jaxb-\w+|istack-\w+-runtime)\.jar$/;

/** Runs a small Java program of this folder with the libraries of Debian's packages. Answers what it printed. */
export function runJava(program: string, args: readonly string[]): string {
  const jars = readdirSync(library)
    .filter((name) => needed.test(name))
    .map((name) => join(library, name));
  const source = fileURLToPath(new URL(`java/${program}.java`, import.meta.url));
  const { code, text } = runTool('java', ['-cp', jars.join(':'), source, ...args]);
  if (code !== 0) throw new Error(`${program} ended with ${code}: ${text}`);
  return text.replace(/^Note: .*\n/gm, '');
}
