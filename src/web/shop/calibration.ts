import { calibrationDay, calibrationOver } from '../../logbook/calibration.js';
import type { Instrument } from '../../logbook/fold-shop.js';
import { instrumentKinds } from '../../logbook/shop-entry.js';
import { dayText } from '../words/job-words.js';

/** So many days before its last one a calibration is said to end soon. */
const soonDays = 30;

/** Every instrument with where its calibration stands at a time (UTC, ISO 8601): those on the shelf first, the one whose calibration ends soonest on top. */
export function calibrationLines(instruments: readonly Instrument[], now: string) {
  const order = (i: Instrument) => `${i.retired ? 1 : 0} ${i.due ?? '9999'} ${i.name}`;
  return [...instruments]
    .sort((a, b) => order(a).localeCompare(order(b)))
    .map((i) => ({
      id: i.id,
      name: i.name,
      kindWord: instrumentKinds[i.kind],
      serial: i.serial,
      retired: i.retired,
      questioned: i.questioned,
      calibrated: dayText(i.calibrated),
      due: i.due === undefined ? 'no last day set' : dayText(i.due),
      ...standingOf(i, now),
    }));
}

function standingOf(i: Instrument, now: string): { look: string; word: string } {
  if (i.retired) return { look: 'off', word: 'off the shelf' };
  if (i.questioned !== undefined) return { look: 'open', word: 'not to be trusted' };
  if (i.due === undefined) return { look: 'plain', word: 'on the shelf' };
  if (calibrationOver(i.due, now)) return { look: 'fail', word: 'overdue' };
  const days = Math.round((Date.parse(i.due) - Date.parse(calibrationDay(now))) / 86_400_000);
  if (days > soonDays) return { look: 'plain', word: 'in calibration' };
  return {
    look: 'waiting',
    word: days === 0 ? 'ends today' : `ends in ${days} ${days === 1 ? 'day' : 'days'}`,
  };
}
