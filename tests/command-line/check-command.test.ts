import { expect, test } from 'vitest';
import { runCommand } from '../../src/run-command.js';
import { rulesVersion } from '../../src/trade/rules-version.js';
import { demoPatched, type Patch } from '../circuit/demo-circuit.js';

const unasked = () => Promise.reject(new Error('nothing else is read or written'));

/** Runs the command over files held in memory. */
async function check(args: readonly string[], files: Readonly<Record<string, string>> = {}) {
  const out: string[] = [];
  const err: string[] = [];
  const code = await runCommand(['check', ...args], {
    out: (line) => out.push(line),
    err: (line) => err.push(line),
    readBytes: unasked,
    writeBytes: unasked,
    readFile: async (path) => {
      const text = files[path];
      if (text === undefined) throw new Error(`ENOENT ${path}`);
      return text;
    },
  });
  return { code, out, err };
}

const file = (patch: Patch = {}) => ({ 'van.json': JSON.stringify(demoPatched(patch)) });

test('a circuit that meets its limits prints every group and exits 0', async () => {
  const { code, out, err } = await check(['van.json'], file());
  expect({ code, err }).toEqual({ code: 0, err: [] });
  expect(out).toContain('Voltage drop');
  expect(out.at(-1)).toContain('0 miss them');
  expect(out.at(-1)).toContain('This is no approval.');
});

test('a circuit that misses a limit says where, why and what to change, and exits 1', async () => {
  const { code, out } = await check(['van.json'], file({ 'breaker.amps': 20 }));
  expect(code).toBe(1);
  const text = out.join('\n');
  expect(text).toMatch(/misses its limit +Breaker against the inlet +20 A; at most 15 A \(the inlet\)/);
  expect(text).toContain('no concession');
  expect(text).toContain('Cutting is held.');
});

test('an unproven line holds the cutting and does not make the command fail', async () => {
  const { code, out } = await check(['van.json'], file({ 'run.0.openNeutral': 'unknown' }));
  expect(code).toBe(0);
  expect(out.at(-1)).toContain('1 unproven');
  expect(out.at(-1)).toContain('Cutting is held.');
});

test('--json prints one line with every line of the sheet', async () => {
  const { code, out } = await check(['--json', 'van.json'], file({ 'bond.awg': 10 }));
  expect(code).toBe(1);
  expect(out).toHaveLength(1);
  const sheet = JSON.parse(out[0]!);
  expect(sheet).toMatchObject({ format: 'inlet-sheet/1', rules: rulesVersion, missed: 1 });
  expect(sheet.lines.find((l: { id: string }) => l.id === 'bond.size').verdict).toBe('fail');
});

test.each<[string, string[], Record<string, string>, RegExp]>([
  ['no file', [], {}, /check: needs CIRCUIT.json, was given none/],
  ['two files', ['a.json', 'b.json'], {}, /was given a\.json b\.json/],
  ['an unknown option', ['van.json', '--loud'], file(), /check: Unknown option '--loud'/],
  ['a file that is not there', ['gone.json'], {}, /gone\.json: cannot be read/],
  ['a file that is not JSON', ['van.json'], { 'van.json': 'inlet 15 A' }, /van\.json: is not JSON/],
  ['an empty file', ['van.json'], { 'van.json': '' }, /is not JSON/],
  ['a list', ['van.json'], { 'van.json': '[]' }, /must be one object/],
  ['a wrong gauge', ['van.json'], file({ 'run.1.feed.awg': 16 }), /run 2 · feed · awg: choose 14/],
  ['two mistakes', ['van.json'], file({ 'cord.awg': 20, 'inlet.amps': 50 }), /\(and 1 more\)$/],
])('%s is one line on the error stream and exit 2', async (_what, args, files, message) => {
  const { code, out, err } = await check(args, files);
  expect(code).toBe(2);
  expect(out).toEqual([]);
  expect(err).toHaveLength(1);
  expect(err[0]).toMatch(message);
  expect(err[0]).not.toContain('\n');
});
