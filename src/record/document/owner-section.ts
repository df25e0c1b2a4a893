import { whatMayNotRunTogether, whatMayRunTogether } from '../../circuit/allowed-set.js';
import type { Circuit } from '../../circuit/circuit.js';
import { gaugeText, metresText } from '../../circuit/quantity-text.js';
import type { Assessment } from '../../steps/assessment.js';
import { ownerSentences } from '../../trade/owner-sentences.js';
import { heading, list, type Section } from './block.js';

/** For whoever plugs the van in: what may run together, and the ten sentences. */
export function ownerSection(job: Assessment): Section {
  const may = whatMayRunTogether(job.circuit);
  const not = whatMayNotRunTogether(job.circuit);
  return {
    title: 'For the owner',
    blocks: [
      heading('What may run together'),
      list(may.length === 0 ? ['No load was named: the breaker is the only measure.'] : may),
      ...(not.length === 0 ? [] : [heading('What may not'), list(not)]),
      heading('How to live with it'),
      list(sentencesFor(job.circuit), true),
    ],
  };
}

/** The owner's ten sentences with this circuit's figures in. */
export function sentencesFor(circuit: Circuit): string[] {
  const { cord } = circuit;
  return ownerSentences({
    mayRunTogether: whatMayRunTogether(circuit),
    mayNotRunTogether: whatMayNotRunTogether(circuit),
    cord: `${gaugeText(cord.awg)}, ${metresText(cord.lengthM)}, ${cord.typeLetters}`,
    breakerAmps: circuit.breaker.amps,
    devicePlace: circuit.run[0]?.place ?? '',
  });
}
