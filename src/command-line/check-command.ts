import { jsonOf } from '../circuit/json-text.js';
import { parseCircuit } from '../circuit/parse-circuit.js';
import { sheet } from '../circuit/sheet.js';
import { holdsCutting, type SheetLine, sheetGroups, verdictWords } from '../circuit/sheet-line.js';
import { type Io, plainLine, UsageError } from '../command.js';
import { rulesVersion } from '../trade/rules-version.js';
import { sourceText } from '../trade/source.js';
import { readArguments } from './options.js';

const help = [
  'Usage: inlet-logbook check CIRCUIT.json [--json]',
  '',
  'Prints the sheet: what is computed from the circuit before the first hole is cut.',
  '  --json   one line of JSON in place of text',
  '  --help   this text',
  '',
  'Exit 0 when no line misses its limit, 1 when one does, 2 for a wrong argument or file.',
];

/** The command `check`: the sheet of one circuit file. Answers the exit code; throws UsageError for a wrong argument or file. */
export async function runCheck(args: readonly string[], io: Io): Promise<number> {
  const given = readArguments({ command: 'check', help, options, names: ['CIRCUIT.json'] }, args, io);
  if (given === undefined) return 0;
  const [values, path] = given;
  const lines = sheet(await readCircuit(path, io));
  const answer = values.json === true ? [jsonLine(lines)] : sheetText(lines).map(plainLine);
  for (const line of answer) io.out(line);
  return lines.some((line) => line.verdict === 'fail') ? 1 : 0;
}

const options = { json: { type: 'boolean' } } as const;

async function readCircuit(path: string, io: Io) {
  let text: string;
  try {
    text = await io.readFile(path);
  } catch {
    throw new UsageError(`check: ${path}: cannot be read`);
  }
  let json: unknown;
  try {
    json = jsonOf(text);
  } catch {
    throw new UsageError(`check: ${path}: is not JSON`);
  }
  const parsed = parseCircuit(json);
  if (parsed.ok) return parsed.value;
  const more = parsed.issues.length - 1;
  const rest = more === 0 ? '' : ` (and ${more} more)`;
  throw new UsageError(`check: ${path}: ${parsed.issues[0]!.message}${rest}`);
}

function jsonLine(lines: readonly SheetLine[]): string {
  return JSON.stringify({
    format: 'inlet-sheet/1',
    rules: rulesVersion,
    missed: lines.filter((line) => line.verdict === 'fail').length,
    unproven: lines.filter((line) => line.verdict === 'unproven').length,
    lines,
  });
}

function sheetText(lines: readonly SheetLine[]): string[] {
  const titleWidth = Math.max(...lines.map((line) => line.title.length));
  const printed = sheetGroups.flatMap((group) => {
    const own = lines.filter((line) => line.group === group.id);
    return own.length === 0 ? [] : ['', group.title, ...own.flatMap((line) => lineText(line, titleWidth))];
  });
  return [`Sheet, rules ${rulesVersion}`, ...printed, '', summary(lines)];
}

const verdictWidth = Math.max(...Object.values(verdictWords).map((word) => word.length));

function lineText(line: SheetLine, titleWidth: number): string[] {
  const limit = line.verdict === 'note' ? '' : `; ${line.limit}`;
  const row = `  ${verdictWords[line.verdict].padEnd(verdictWidth)}  ${line.title.padEnd(titleWidth)}  ${line.value}${limit}`;
  if (!holdsCutting(line)) return [row];
  const concession = line.concession === 'never' ? 'no concession' : 'or a named person grants a concession';
  const indent = ' '.repeat(verdictWidth + 4);
  return [
    row,
    `${indent}${line.formula}`,
    `${indent}Mend: ${line.mend} (${concession})`,
    `${indent}Source: ${line.sources.map(sourceText).join('; ')}`,
  ];
}

function summary(lines: readonly SheetLine[]): string {
  const count = (verdict: SheetLine['verdict']) => lines.filter((line) => line.verdict === verdict).length;
  return `${count('pass')} meet their limits, ${count('fail')} miss them, ${count('unproven')} unproven, ${count('note')} notes. ${
    lines.some(holdsCutting) ? 'Cutting is held.' : 'Nothing here holds the cutting.'
  } This is no approval.`;
}
