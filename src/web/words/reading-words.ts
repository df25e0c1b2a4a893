import { ohmsText } from '../../circuit/quantity-text.js';
import { placeOf, pointText } from '../../meter/point.js';
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

/** On the body a probe needs bare metal; the bond is read at a spot that is not its own. */
function probeAt(point: string, bond: boolean): string {
  if (point !== 'chassis') return pointText(point);
  return bond ? 'a second bare spot of the body, away from the bond’s own bolt' : 'bare metal of the body';
}

/** Where each probe goes, in words; nothing for an observation. */
export function probesText({ test, from, to, amps }: PlannedReading): string[] {
  if (test === 'observation' || from === undefined || to === undefined) return [];
  const bond = [from, to].includes('inlet.ground');
  const probes = [`One probe on ${probeAt(from, bond)}.`, `The other on ${probeAt(to, bond)}.`];
  if (test !== 'loaded-voltage') return probes;
  const where = placeOf(from) === 'supply' ? 'the last outlet' : 'this outlet';
  return [`Plug in the test load of about ${amps ?? testLoadA} A at ${where} and let it run.`, ...probes];
}
