import type { Assessment } from '../steps/assessment.js';
import type { Section } from './document/block.js';
import { changeSection } from './document/change-section.js';
import { checkSection } from './document/check-section.js';
import { circuitSection } from './document/circuit-section.js';
import { coverSection } from './document/cover.js';
import { cutOutSection } from './document/cut-out-section.js';
import { defectSection } from './document/defect-section.js';
import { ownerSection } from './document/owner-section.js';
import { otherPhotoSection } from './document/photo-section.js';
import { readingSection } from './document/reading-section.js';
import type { RecordInput } from './document/record-input.js';
import { sheetSection } from './document/sheet-section.js';
import { signatureSection } from './document/signature-section.js';
import { stepSection, terminationSection } from './document/step-section.js';

export type PaperSize = 'letter' | 'A4';

/** Everything that a record says, as plain data in reading order; what is drawn is this and nothing else. */
export interface RecordDocument {
  readonly job: string;
  readonly revision: number;
  readonly shop: string;
  readonly van: string;
  readonly paper: PaperSize;
  /** UTC, ISO 8601, to the second. */
  readonly issuedAt: string;
  readonly cover: Section;
  readonly sections: readonly Section[];
}

/** The record of a job as it stands. It does not ask whether it may be issued: `issueRecord` does. */
export function recordDocument(job: Assessment, input: RecordInput): RecordDocument {
  return {
    job: input.job,
    revision: input.revision,
    shop: input.shop,
    van: job.log.described?.vehicle.description ?? '',
    // Where feet are used, letter is what the printer holds.
    paper: input.units === 'metric' ? 'A4' : 'letter',
    issuedAt: input.issuedAt,
    cover: coverSection(job, input),
    sections: [
      ...changeSection(job, input),
      ownerSection(job, input),
      circuitSection(job, input),
      sheetSection(job, input),
      stepSection(job, input),
      terminationSection(job, input),
      readingSection(job, input),
      defectSection(job, input),
      ...otherPhotoSection(job, input),
      signatureSection(job, input),
      checkSection(job, input),
      cutOutSection(job, input),
    ],
  };
}
