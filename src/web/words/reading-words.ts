import { ohmsText } from '../../circuit/quantity-text.js';
import { pointText } from '../../meter/point.js';
import { testLoadA } from '../../meter/schedule.js';
import type { ReadingStanding } from '../../steps/assessment.js';
import type { PlannedReading } from '../../steps/step.js';

/** "± 0.2 Ω": the meter's stated error at this reading, or nothing where there is none. */
export function uncertaintyText({ planned, uncertainty }: ReadingStanding): string {
  if (uncertainty === undefined) return '';
  return planned.test === 'resistance'
    ? `± ${ohmsText(Number(uncertainty.toPrecision(2)), 2)}`
    : `± ${Number(uncertainty.toPrecision(2))} V`;
}

/** Where each probe goes, in words; nothing for an observation. */
export function probesText({ test, from, to, amps }: PlannedReading): string[] {
  if (test === 'observation' || from === undefined || to === undefined) return [];
  const probes = [`One probe on ${pointText(from)}.`, `The other on ${pointText(to)}.`];
  if (test !== 'loaded-voltage') return probes;
  return [`Plug in the test load of about ${amps ?? testLoadA} A at this outlet and let it run.`, ...probes];
}
