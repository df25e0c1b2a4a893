import { ownerFacts } from '../../circuit/owner-facts.js';
import type { Assessment } from '../../steps/assessment.js';
import { ownerSentences } from '../../trade/owner-sentences.js';
import { list, type Section } from './block.js';

/** For whoever plugs the van in: the ten sentences with this circuit's figures. */
export function ownerSection(job: Assessment): Section {
  return { title: 'For the owner', blocks: [list(ownerSentences(ownerFacts(job.circuit)), true)] };
}
