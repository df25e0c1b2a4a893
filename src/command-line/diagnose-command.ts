import { type Io, plainLine } from '../command.js';
import type { Issue } from '../errors.js';
import { type Answer, diagnose } from '../faults/diagnose.js';
import { roughOhms } from '../faults/fault-words.js';
import { firstOfAll } from '../faults/first-of-all.js';
import { goOnWith } from '../faults/go-on-with.js';
import { type SteppedReading, stepReadings } from '../faults/step-readings.js';
import { pointText } from '../meter/point.js';
import { parseReadingsFile, type ReadingsFile, type Test } from '../meter/readings-file.js';
import { readArguments } from './options.js';

const help = [
  'Usage: inlet-logbook diagnose FILE… [--json] [--steps]',
  '',
  'Says of each readings file (inlet-readings/1) whether the rules are met, which conductor its readings point to, where,',
  'and which reading to take next.',
  '  --json    one line of JSON a file',
  '  --steps   for each reading what a sound circuit would show, what was shown, and how it is judged',
  '  --help    this text',
  '',
  'Exit 0 when every file was answered, 2 for a wrong argument or file.',
];

const options = { json: { type: 'boolean' }, steps: { type: 'boolean' } } as const;

/**
 * `diagnose FILE… [--json] [--steps]`: one answer a file, one line a file with `--json`; `--steps` prints for each reading what a
 * sound circuit would show, what was shown and how it is judged. A file that cannot be used: one line on the error stream, 2.
 */
export async function runDiagnose(args: readonly string[], io: Io): Promise<number> {
  const given = readArguments({ command: 'diagnose', help, options, names: ['FILE…'], more: true }, args, io);
  if (given === undefined) return 0;
  const [values, ...files] = given;
  let exitCode = 0;
  for (const path of files) {
    const read = await readReadings(path, io);
    if (typeof read === 'string') {
      io.err(read);
      exitCode = 2;
      continue;
    }
    const answer = diagnose(read);
    const steps = values.steps === true ? stepReadings(read) : undefined;
    if (values.json === true) io.out(JSON.stringify(steps === undefined ? answer : { ...answer, steps }));
    else for (const line of answerLines(path, read, answer, steps)) io.out(plainLine(line));
  }
  return exitCode;
}

/** The file, or the one line that says what is wrong with it. */
async function readReadings(path: string, io: Io): Promise<ReadingsFile | string> {
  let text: string;
  try {
    text = await io.readFile(path);
  } catch (error) {
    return `${path}: cannot be read: ${(error as Error).message}`;
  }
  const parsed = parseReadingsFile(text);
  return parsed.ok ? parsed.file : `${path}: ${issueText(parsed.issues[0]!)}`;
}

function issueText({ field, message }: Issue): string {
  const reading = /^readings\.(\d+)(?:\.(.+))?$/.exec(field);
  if (reading === null) return field === '' ? message : `${field} ${message}`;
  return `reading ${reading[1]}: ${reading[2] === undefined ? '' : `"${reading[2]}" `}${message}`;
}

function answerLines(
  path: string,
  file: ReadingsFile,
  answer: Answer,
  steps: readonly SteppedReading[] | undefined,
): string[] {
  const first = firstOfAll(file, answer);
  const lines = [`${path}: ${answer.verdict}`, ...(first === undefined ? [] : [`  First: ${first}`])];
  for (const text of answer.unprotected) lines.push(`  Whatever the readings say: ${text}`);
  for (const step of steps ?? []) {
    lines.push(`  ${testText(step.test)}: expected ${step.expected}, shown ${step.shown}: ${step.verdict}`);
  }
  for (const limit of answer.limits.filter((l) => l.verdict !== 'pass')) {
    lines.push(`  ${limit.verdict}: ${limit.rule} at ${limit.at} (${limit.text})`);
  }
  for (const { rule, at, higherThanPredicted: higher } of answer.limits) {
    if (higher === undefined) continue;
    const { leastOhm, predictedOhm } = higher;
    const what = rule === 'cord' ? `the ${at.replace('cord.', 'cord’s ')}` : `ground path to ${at}`;
    lines.push(
      `  Higher than predicted: ${what}, at least ${roughOhms(leastOhm)} for ${roughOhms(predictedOhm)}`,
    );
  }
  for (const question of answer.askFirst) lines.push(`  Ask first: ${question.text}`);
  for (const suspect of answer.suspects) {
    lines.push(`  ${suspect.probability.toFixed(3)} ${suspect.text}. ${suspect.lookAt}`);
  }
  for (const joint of answer.joints.filter(
    (j) => j.what === 'look' || j.what === 'mend' || j.what === 'load-off',
  )) {
    lines.push(
      `  The drop at ${joint.at} speaks of ${roughOhms(joint.ohms)} more than predicted: ${joint.what === 'look' ? 'look at' : 'mend'} the joint.`,
    );
  }
  for (const text of answer.notLookedAt) lines.push(`  Not looked at: ${text}`);
  const next = goOnWith(file, answer);
  if (next !== null) lines.push(`  Next: ${testText(next)}`);
  return lines;
}

/** A test in the words of the trade. */
function testText(test: Test): string {
  if (test.test !== 'observation') {
    const load = test.test === 'loaded-voltage' ? ` with ${test.amps} A plugged in` : '';
    const what = test.test === 'resistance' ? 'ohms' : 'volts';
    return `${what} from ${pointText(test.from)} to ${pointText(test.to)}${load}`;
  }
  switch (test.what) {
    case 'supply-holds':
      return 'does the supply’s breaker stay in';
    case 'gfci-resets':
      return 'does the ground-fault device reset and stay';
    case 'dead-when-tripped':
      return `is ${test.at} dead after TEST`;
    case 'holds-under-load':
      return `does the device hold with ${test.amps} A at ${test.at}`;
    case 'three-lamp':
      return `which lamps light at ${test.at}`;
  }
}
