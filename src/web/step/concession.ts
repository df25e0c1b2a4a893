import type { JobLog } from '../../logbook/job-log.js';
import { mayWrite } from '../../steps/entry-kinds.js';
import { type AcceptContext, judgesOwnWork, othersFor } from '../../steps/proposal.js';

/** Whether a concession may be asked of the person at the page, and the sentence where it may not. */
interface ConcessionForm {
  readonly offered: boolean;
  readonly sentence: string;
}

/** The same rule as at the gate, said before anything is typed: who may concede, who may not, what nobody may. */
export function concessionForm(
  who: 'never' | 'named-person',
  log: JobLog,
  asker: AcceptContext,
): ConcessionForm {
  if (who === 'never') return { offered: false, sentence: 'No concession covers this.' };
  const kind = 'concession granted';
  if (judgesOwnWork(log, kind, asker)) {
    const others = othersFor(log, kind, asker);
    return {
      offered: false,
      sentence: `A concession is another person’s: ${others.map((p) => p.name).join(' or ')} may grant it.`,
    };
  }
  if (!mayWrite(kind, asker.by.roles))
    return { offered: false, sentence: 'A checker or a keeper may grant a concession.' };
  return {
    offered: true,
    sentence: 'A concession names you and your reason, and is printed on page one of the record.',
  };
}
