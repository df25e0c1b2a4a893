import { ownerFacts } from '../../circuit/owner-facts.js';
import { unitsFirst } from '../../circuit/units-first.js';
import type { Assessment } from '../../steps/assessment.js';
import { ownersGlossary } from '../../trade/glossary.js';
import { notGuarded, ownerSentences } from '../../trade/owner-sentences.js';
import { heading, list, paragraph, type Section } from './block.js';
import type { RecordInput } from './record-input.js';

/** For whoever plugs the van in: the ten sentences with this circuit's figures, and what the words of them and of page one mean. */
export function ownerSection(job: Assessment, { units }: RecordInput): Section {
  const sentences = ownerSentences(ownerFacts(job.circuit)).map((s) => unitsFirst(s, units));
  return {
    title: 'For the owner',
    blocks: [
      list(sentences, true),
      paragraph(notGuarded),
      heading('What the words mean'),
      list(ownersGlossary),
    ],
  };
}
