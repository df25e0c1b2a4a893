import type { Circuit } from '../circuit/circuit.js';
import { numberText } from '../circuit/quantity-text.js';
import { electricalCircuit } from '../meter/electrical-circuit.js';
import { type Prediction, predict } from '../meter/predict.js';
import { usualMeter } from './meter-of.js';
import { landedFacts } from './readings/landed-facts.js';
import type { ReadingDraft } from './readings/reading-draft.js';
import { readingDrafts } from './readings/reading-drafts.js';
import type { PlannedReading } from './step.js';

type Value = PlannedReading['expected']['value'];

/**
 * The schedule of readings that a circuit calls for, each with what a sound circuit shows (Ω, V or an answer, from the
 * engine), its limit, and what a mend must disturb for it to be taken again.
 */
export function plannedReadings(circuit: Circuit, drafts = readingDrafts(circuit)): PlannedReading[] {
  const asked = drafts.flatMap((d) => (d.asked ? [d.asked] : []));
  const predictions = predict(electricalCircuit(circuit), usualMeter, [], asked);
  const landed = landedFacts(circuit);
  let next = 0;
  return drafts.map((draft) => {
    const value = draft.asked ? shownValue(predictions[next++]!) : (draft.expects ?? null);
    return planned(draft, value, { ...draft.basis, ...landed(draft.disturbedBy) });
  });
}

function planned(draft: ReadingDraft, value: Value, basis: PlannedReading['basis']): PlannedReading {
  const { asked: _asked, expects: _expects, expectsText, judging, ...rest } = draft;
  const { limit, look } = judging(value);
  return {
    ...rest,
    basis,
    expected: { value, text: expectsText ?? valueText(draft, value) },
    limit,
    ...(look ? { look } : {}),
  };
}

function shownValue(prediction: Prediction): Value {
  switch (prediction.kind) {
    case 'ohms':
      return prediction.ohms;
    case 'volts':
      return prediction.volts;
    case 'answer':
      return prediction.answer ?? true;
    case 'lamps':
      return null;
  }
}

function valueText({ test }: ReadingDraft, value: Value): string {
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (test !== 'resistance') return `${numberText(value ?? 0, 1)} V`;
  if (value === null || value >= 1e6) return 'OL (over 1 MΩ)';
  return value >= 1000 ? `${numberText(value / 1000, 1)} kΩ` : `${numberText(value, 2)} Ω`;
}
