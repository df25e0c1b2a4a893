import { type Circuit, words } from '../../circuit/circuit.js';
import { gaugeAreaText, gaugeText, metresText } from '../../circuit/quantity-text.js';
import { choice, type DraftStep, draftStep, photo, tick } from './draft-step.js';
import { landingTicks, proofAsks } from './hand-work.js';
import { bondLandings } from './landings.js';
import { from } from './sources.js';

/** The bond from the inlet's ground to the body. */
export function bond(circuit: Circuit): DraftStep {
  const { awg, lengthM } = circuit.bond;
  return draftStep({
    id: 'bond',
    stage: 'terminations',
    title: 'Bond to the body',
    do: [
      `Run ${gaugeAreaText(awg)} copper, about ${metresText(lengthM)}, from the inlet’s ground to bare body steel.`,
      'Take no factory ground stud, no door and no part that is only bolted on.',
      'Crimp a ring of tinned copper on it.',
      'Clean the steel to bright metal and use a toothed washer with a machine screw and nut.',
      'Put no 12 V return on it: the battery has its own way to the body.',
      'Look for a charger or converter in a metal case, plugged in or wired in.',
      'Tighten it and tug both ends.',
      'Photograph the joint, then coat it and photograph it again.',
    ],
    why: 'When a hot wire touches the body, this wire is what trips the breaker. Under paint, or on a part that is only bolted on, it does nothing.',
    rightWhen: [
      'Bright metal under the ring; toothed washer; machine screw and nut, no sheet-metal screw.',
      'No factory ground stud, no door, no bolted-on part.',
      'Coated after, and within reach.',
    ],
    sources: [from.bond, from.bondHow, from.caseBond, from.practice],
    cautions: ['one-bond', 'drill-van-dead', 'drill-both-sides'],
    asks: [
      ...landingTicks(bondLandings()),
      ...proofAsks([bondLandings()[1]!], undefined),
      tick('tug-inlet-end', 'Tug: bond at the inlet’s ground holds'),
      tick('not-factory', 'Not a factory stud, no door, no bolted-on part'),
      chargerCase(),
      photo('bare', 'The joint before coating'),
      photo('coated', 'The joint coated'),
    ],
    waitsFor: ['tools-laid-out', 'van-dead', 'look-behind', 'land-inlet'],
    hold: 'The inlet is not bedded and no dead test begins without the bond.',
    concession: 'never',
    parts: ['bond'],
    basis: { 'bond gauge': gaugeText(awg) },
  });
}

/** A charger among the loads: should battery positive find its case, the ground in its cord is too thin for that current. */
function chargerCase() {
  return choice('charger-case', 'A charger or converter on a battery of the van, besides the other sources', [
    ['none', 'None, or its case is plastic or double-insulated'],
    ['bonded', `Metal case, with ${gaugeAreaText(8)} copper of its own to bare body steel, tugged`],
    [
      'not-bonded',
      'Metal case, without a bond of its own',
      `Run ${gaugeAreaText(8)} copper from its case to bare body steel first: when battery positive finds the case, the thin ground in its cord glows.`,
    ],
  ]);
}

/** A bond of its own for each metal case of another source. */
export function caseBond(circuit: Circuit): DraftStep {
  const cases = circuit.otherSources.map((s, k) => ({ s, k })).filter(({ s }) => s.metalCase);
  return draftStep({
    id: 'case-bond',
    stage: 'terminations',
    title: 'Bond of the metal cases',
    do: cases.map(
      ({ s }) =>
        `Run ${gaugeAreaText(8)} copper of its own from the case of the ${words.otherSource[s.kind]} to bare body steel.`,
    ),
    why: 'When battery positive finds the case, the thin ground in its cord glows. A wire of its own carries that current.',
    rightWhen: [`${gaugeAreaText(8)} or thicker, crimped ring, bright metal, coated after.`],
    sources: [from.caseBond, from.bondHow],
    cautions: ['other-source-off', 'drill-van-dead', 'drill-both-sides'],
    asks: cases.flatMap(({ s, k }) => [
      tick(`case-${k + 1}`, `Case of the ${words.otherSource[s.kind]} → bare body steel`),
      tick(`tug-case-${k + 1}`, `Tug: case bond of the ${words.otherSource[s.kind]} holds`),
      photo(`photo-case-${k + 1}`, `Case bond of the ${words.otherSource[s.kind]}`),
    ]),
    waitsFor: ['tools-laid-out', 'van-dead'],
    hold: 'No dead test begins before every metal case has its own bond.',
    parts: ['bond'],
    basis: Object.fromEntries(cases.map(({ s, k }) => [`metal case ${k + 1}`, words.otherSource[s.kind]])),
  });
}
