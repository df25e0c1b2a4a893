import type { Circuit } from '../../circuit/circuit.js';
import { type Answer, leadingOf } from '../../faults/diagnose.js';
import type { EntryBody } from '../../logbook/entry.js';
import { suspectsIn } from '../../steps/suspects.js';
import { suspectPictures } from '../step/device-drawing.js';
import { likelihoodWords } from '../words/job-words.js';

type Suspect = EntryBody<'defect raised'>['suspects'][number];

/** What the readings point to now: those taken since the defect was raised may have parted its suspects. */
export function suspectsNow(answer: Answer | undefined, raised: readonly Suspect[]): readonly Suspect[] {
  return answer !== undefined && answer.suspects.length > 0 ? suspectsIn(answer) : raised;
}

/** Suspects as a page shows them: how likely in words, what to look at, and the back of the device with the conductor marked. */
export function suspectModels(circuit: Circuit, suspects: readonly Suspect[]) {
  const words = likelihoodWords(suspects.map((s) => s.probability));
  const leading = leadingOf(suspects);
  return suspects.map((s, k) => ({
    likely: words[k] ?? '',
    leading: leading.includes(s),
    text: s.text,
    lookAt: s.lookAt,
    pictures: k < 3 ? suspectPictures(circuit, s.faults, s.text, `suspect-${k}`) : [],
  }));
}
