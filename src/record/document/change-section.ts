import type { EntryOf } from '../../logbook/entry.js';
import type { Assessment } from '../../steps/assessment.js';
import { sinceEntry } from '../../steps/since-record.js';
import { grouped } from '../grouped.js';
import { list, paragraph, type Section } from './block.js';
import type { RecordInput } from './record-input.js';
import { dayOf } from './when.js';

/** What a further revision changes: the reason that its issuer gave, and what the logbook says was written since the one before. Nothing for a first. */
export function changeSection(job: Assessment, input: RecordInput): Section[] {
  const before = job.log.issued.at(-1);
  if (before === undefined) return [];
  const since = sinceEntry(job.log, before.seq);
  const { revision } = before.body;
  return [
    {
      title: `What changed since revision ${revision}`,
      blocks: [
        ...(input.reason === undefined
          ? []
          : [paragraph(`Why there is a further revision: ${input.reason}`, 'lead')]),
        paragraph(
          `Revision ${revision} was issued ${dayOf(before.at, input.zone)}${ofAnotherShop(before, input)}. Since then, by the logbook:`,
        ),
        since.length === 0
          ? paragraph('Nothing was written on the work.', 'muted')
          : list(since.map((s) => `${dayOf(s.at, input.zone)}, ${s.by} (entry ${s.seq}): ${s.text}`)),
      ],
    },
  ];
}

/** A record of another shop is known by its key alone. */
function ofAnotherShop(
  { body }: EntryOf<'record issued'>,
  { elsewhere, fingerprint, formerKeys = [] }: RecordInput,
): string {
  const own = [fingerprint, ...formerKeys.map((key) => key.fingerprint)];
  if (elsewhere === undefined || own.includes(body.fingerprint)) return '';
  return ` by another shop, signer (SHA-256) ${grouped(body.fingerprint)}`;
}
