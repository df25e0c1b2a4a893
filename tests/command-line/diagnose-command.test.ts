import { readFile } from 'node:fs/promises';
import { describe, expect, it } from 'vitest';
import { runDiagnose } from '../../src/command-line/diagnose-command.js';

const cases = new URL('../faults/cases/', import.meta.url).pathname;

async function run(args: string[], files: Record<string, string> = {}) {
  const out: string[] = [];
  const err: string[] = [];
  const code = await runDiagnose(args, {
    out: (line) => out.push(line),
    err: (line) => err.push(line),
    readFile: async (path) => files[path] ?? readFile(path, 'utf8'),
  });
  return { code, out, err };
}

describe('diagnose', () => {
  it('prints one line of JSON a file, in the fixed form', async () => {
    const { code, out } = await run([`${cases}case-001.json`, `${cases}case-015.json`, '--json']);
    expect(code).toBe(0);
    expect(out).toHaveLength(2);
    const [first, second] = out.map((line) => JSON.parse(line));
    expect(first).toMatchObject({
      verdict: 'fail',
      suspects: [
        { faults: [{ fault: 'open', conductor: 'hot', where: 'feed1' }], probability: expect.any(Number) },
      ],
    });
    expect(first.limits[0]).toEqual(
      expect.objectContaining({
        rule: expect.any(String),
        at: expect.any(String),
        verdict: expect.any(String),
      }),
    );
    expect(first).toHaveProperty('nextReading');
    expect(second).toMatchObject({ verdict: 'pass', suspects: [] });
  });

  it('says first to unplug where the van’s skin is live, and asks for nothing live after it', async () => {
    const file = JSON.parse(await readFile(`${cases}case-015.json`, 'utf8'));
    const hot = (volts: number) => {
      const skin = { test: 'voltage', from: 'chassis', to: 'earth', volts };
      return { ...file, readings: [skin, { test: 'observation', what: 'supply-holds', answer: true }] };
    };
    const lines = async (volts: number) =>
      (await run(['hot.json'], { 'hot.json': JSON.stringify(hot(volts)) })).out;
    const live = await lines(55);
    expect(live[1]).toMatch(/First: Touch no metal of the van\. Unplug at the supply first/);
    expect(live.filter((line) => /Next: (?!ohms)/.test(line))).toEqual([]);
    expect((await lines(1)).join()).not.toMatch(/First:/);
  });

  it('says beside a pass that the van has no breaker, or one that is too large for its wire or its inlet', async () => {
    const sound = JSON.parse(await readFile(`${cases}case-015.json`, 'utf8'));
    const said = async (breaker: { amps: number } | null, awg?: number) => {
      const file = structuredClone(sound);
      file.circuit.breaker = breaker;
      if (awg) file.circuit.run.at(-1).feed.awg = awg;
      const { out } = await run(['van.json'], { 'van.json': JSON.stringify(file) });
      return out.filter((line) => line.includes('Whatever the readings say')).join('\n');
    };
    const { amps } = sound.circuit.inlet;
    expect(await said({ amps })).toBe('');
    expect(await said(null)).toMatch(/no breaker in the van: its wire has only the supply/);
    expect(await said({ amps: amps + 1 })).toMatch(/larger than the inlet/);
    expect(await said({ amps: 15 }, 14)).toBe('');
    sound.circuit.inlet.amps = 30;
    expect(await said({ amps: 20 }, 12)).toMatch(/Between the inlet and the breaker/);
    sound.circuit.inletWire = { awg: 10, lengthM: 0.5 };
    expect(await said({ amps: 20 }, 12)).toBe('');
    expect(await said({ amps: 21 }, 12)).toMatch(/larger than the 20 A that 12 AWG may stand behind/);
    expect(await said({ amps: 15 }, 16)).toMatch(/16 AWG is too thin/);
  });

  it('prints for each reading what a sound van shows, what was shown and the verdict', async () => {
    const { out } = await run([`${cases}case-008.json`, '--steps']);
    expect(out.join('\n')).toContain(
      'the inlet’s ground pin to the chassis: expected 0.0086 Ω, shown OL: fail',
    );
    expect(out.join('\n')).toContain('expected 120.0 V, shown 120.9 V: pass');
  });

  it('refuses a bad file with one line that names it and the reading’s index, exit 2, and answers the others', async () => {
    const file = JSON.parse(await readFile(`${cases}case-001.json`, 'utf8'));
    file.readings[3].to = 'outlet7.hot';
    const { code, out, err } = await run(['bad.json', `${cases}case-015.json`, '--json'], {
      'bad.json': JSON.stringify(file),
    });
    expect(code).toBe(2);
    expect(err).toEqual(['bad.json: reading 3: "to" names "outlet7.hot", a point that this circuit lacks']);
    expect(out).toHaveLength(1);
  });

  it('refuses a file that is not there, or is no JSON, in one line', async () => {
    const { code, err } = await run([`${cases}none.json`, 'torn.json'], { 'torn.json': '{' });
    expect(code).toBe(2);
    expect(err).toHaveLength(2);
    expect(err[1]).toMatch(/^torn\.json: file is not JSON/);
  });

  it('takes a file that begins with a byte-order mark', async () => {
    const text = await readFile(`${cases}case-001.json`, 'utf8');
    const { code, out, err } = await run(['marked.json', '--json'], { 'marked.json': `\uFEFF${text}` });
    expect({ code, err }).toEqual({ code: 0, err: [] });
    expect(out).toEqual((await run([`${cases}case-001.json`, '--json'])).out);
  });

  it('asks for a file, and knows its options', async () => {
    await expect(run([])).rejects.toThrow(/diagnose: needs FILE…, was given none/);
    await expect(run(['--colour'])).rejects.toThrow(/diagnose: Unknown option '--colour'/);
  });
});
