import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { sheet } from '../../src/circuit/sheet.js';
import { errorList } from '../../src/errors.js';
import { catalogue } from '../../src/faults/catalogue.js';
import { faultText, lookAt } from '../../src/faults/fault-words.js';
import { electricalCircuit } from '../../src/meter/electrical-circuit.js';
import { planOf } from '../../src/steps/plan-of.js';
import type { Step } from '../../src/steps/step.js';
import { stepsOf } from '../../src/steps/steps-of.js';
import { cautions } from '../../src/trade/cautions.js';
import { glossary } from '../../src/trade/glossary.js';
import { meterMistakes } from '../../src/trade/meter-mistakes.js';
import { ownerSentences } from '../../src/trade/owner-sentences.js';
import { demoCircuit, type Patch } from '../circuit/demo-circuit.js';
import { gradeOf, sentencesOf, syllablesOf } from './reading-grade.js';

/**
 * The formula was made for whole passages: one short sentence with one long word goes up by grades, so a sentence has more room than a step
 * or a page. The bounds are tighter than a grade of eight, because the words of the trade count as easy.
 */
const mostOfAPassage = 6;
const mostOfASentence = 10;

const plain: Patch = { 'inlet.behindPanel': 'Nothing but the skin.' };
const circuits = [
  plain,
  { ...plain, 'run.0.device': 'receptacle' },
  {
    ...plain,
    vehicleUse: 'living-quarters',
    'inlet.locking': true,
    'run.*.box.material': 'metal',
    otherSources: [
      { kind: 'inverter-charger', keptOff: 'own-relay', metalCase: true, note: '' },
      { kind: 'generator', keptOff: 'transfer-switch', metalCase: true, note: '' },
    ],
  },
].map((patch) => demoCircuit(patch));

function sentencesOfStep(step: Step): string[] {
  return [
    ...step.do,
    ...step.rightWhen,
    step.why,
    ...(step.hold ? [step.hold] : []),
    ...(step.conditional ? [step.conditional] : []),
    ...step.asks.flatMap((a) => (a.kind === 'choice' ? a.options.flatMap((o) => o.refused ?? []) : [])),
  ];
}

const tooHard = (texts: readonly string[]) =>
  [...new Set(texts.flatMap(sentencesOf))].filter((s) => gradeOf([s]) > mostOfASentence);

describe('every text can be read at grade eight, the words of the glossary allowed', () => {
  it('by a formula that counts what it says it counts', () => {
    expect(sentencesOf('Wait. Then pull: it holds!')).toEqual(['Wait.', 'Then pull: it holds!']);
    expect(['ring', 'made', 'table', 'needed', 'loosened', 'authority’s'].map(syllablesOf)).toEqual([
      1, 1, 2, 2, 2, 1,
    ]);
    // Kincaid's own formula on ten words of one syllable, and on ten of three.
    expect(gradeOf(['The cat sat on the mat and then it slept.'])).toBeCloseTo(0.39 * 10 + 11.8 - 15.59, 9);
    expect(gradeOf(['Banana banana banana banana.'])).toBeCloseTo(0.39 * 4 + 11.8 * 3 - 15.59, 9);
  });

  it('each step as a whole, and each of its sentences', () => {
    for (const circuit of circuits)
      for (const step of stepsOf(circuit)) {
        const texts = sentencesOfStep(step);
        expect([step.id, gradeOf(texts) <= mostOfAPassage]).toEqual([step.id, true]);
        expect([step.id, tooHard(texts)]).toEqual([step.id, []]);
      }
  });

  it('each caution, slip of the meter and word of the glossary', () => {
    expect(tooHard(Object.values(cautions).map((c) => c.text))).toEqual([]);
    expect(tooHard(meterMistakes.rows.map((m) => m.text))).toEqual([]);
    expect(tooHard(glossary.rows.map((w) => w.meaning))).toEqual([]);
  });

  it('what each reading asks, allows and says when it is off', () => {
    const readings = circuits.flatMap((c) => [...planOf(c).readings.values()]);
    expect(readings.length).toBeGreaterThan(100);
    expect(
      tooHard(readings.flatMap((r) => [r.question, r.limit?.text, r.look?.text].flatMap((t) => t ?? []))),
    ).toEqual([]);
  });

  it('what to mend on the sheet', () => {
    const lines = circuits.flatMap((c) => sheet(c));
    expect(tooHard(lines.map((line) => line.mend))).toEqual([]);
  });

  it('the fault-finder’s sentences', () => {
    for (const circuit of circuits.map(electricalCircuit)) {
      const faults = catalogue(circuit).map(({ fault }) => fault);
      expect(tooHard(faults.flatMap((f) => [faultText(f, circuit), lookAt(f, circuit)]))).toEqual([]);
    }
  });

  it('the owner’s sentences, as a whole and one by one', () => {
    const said = ownerSentences({
      mayRunTogether: ['lamp'],
      mayNotRunTogether: ['press'],
      cord: 'its cord',
      breakerAmps: 15,
      devicePlace: 'the bench',
    });
    expect(gradeOf(said)).toBeLessThanOrEqual(mostOfAPassage);
    expect(tooHard(said)).toEqual([]);
  });

  it('each error that reaches a person', () => {
    expect(tooHard(Object.values(errorList).map(({ means }) => means))).toEqual([]);
    const src = resolve(import.meta.dirname, '../../src');
    const thrown = readdirSync(src, { recursive: true, encoding: 'utf8' })
      .filter((file) => file.endsWith('.ts'))
      .flatMap((file) => [
        ...readFileSync(join(src, file), 'utf8').matchAll(
          /(?:new AppError\(\s*'[a-z-]+',\s*|\bmessage: )(['"`])((?:(?!\1).)+)\1/g,
        ),
      ])
      .map((match) => (match[2] as string).replace(/\$\{(?:[^{}]|\{[^{}]*\})*\}/g, 'X'));
    expect(thrown.length).toBeGreaterThan(100);
    expect(tooHard(thrown)).toEqual([]);
  });
});
