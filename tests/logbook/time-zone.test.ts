import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  endOfDay,
  localDay,
  localTime,
  timeZones,
  zoneNote,
  zoneWords,
} from '../../src/logbook/time-zone.js';

const minute = 60_000;

/** Ms of a Sunday of a month at 2 in the morning, as if UTC; k = 1 for the first. */
function sunday(year: number, month: number, k: number): number {
  const first = new Date(Date.UTC(year, month - 1, 1)).getUTCDay();
  return Date.UTC(year, month - 1, 1 + ((7 - first) % 7) + (k - 1) * 7, 2);
}

/**
 * Minutes behind UTC and letters of a zone of the United States that keeps summer time.
 * Source: Energy Policy Act of 2005, section 110 (15 U.S.C. 260a): from 2 o'clock on the second Sunday of March to 2 o'clock on the
 * first Sunday of November; the hours of the zones: 15 U.S.C. 261 (eastern 5 h, central 6, mountain 7, Pacific 8, Alaska 9).
 */
function byStatute(ms: number, standardBehind: number): { behind: number; summer: boolean } {
  const year = new Date(ms - standardBehind * minute).getUTCFullYear();
  const begins = sunday(year, 3, 2) + standardBehind * minute;
  const ends = sunday(year, 11, 1) + (standardBehind - 60) * minute;
  const summer = ms >= begins && ms < ends;
  return { behind: summer ? standardBehind - 60 : standardBehind, summer };
}

const statute = [
  ['America/New_York', 300, 'EST', 'EDT'],
  ['America/Chicago', 360, 'CST', 'CDT'],
  ['America/Denver', 420, 'MST', 'MDT'],
  ['America/Los_Angeles', 480, 'PST', 'PDT'],
  ['America/Anchorage', 540, 'AKST', 'AKDT'],
] as const;

const times = fc.integer({ min: Date.UTC(2008, 0, 1), max: Date.UTC(2036, 11, 31) });

describe('what a clock in a zone shows', () => {
  test.each(statute)(
    '%s is as the statute has it, at every hour of these years',
    (zone, hours, standard, summerTime) => {
      fc.assert(
        fc.property(times, (ms) => {
          const { behind, summer } = byStatute(ms, hours);
          const shown = new Date(ms - behind * minute).toISOString();
          expect(localTime(new Date(ms).toISOString(), zone)).toEqual({
            day: shown.slice(0, 10),
            time: shown.slice(11, 19),
            letters: summer ? summerTime : standard,
          });
        }),
        { numRuns: 300 },
      );
    },
  );

  test('to the second where summer time begins and ends', () => {
    expect(localTime('2026-03-08T06:59:59Z', 'America/New_York')).toEqual({
      day: '2026-03-08',
      time: '01:59:59',
      letters: 'EST',
    });
    expect(localTime('2026-03-08T07:00:00Z', 'America/New_York')).toEqual({
      day: '2026-03-08',
      time: '03:00:00',
      letters: 'EDT',
    });
    expect(localTime('2026-11-01T05:59:59Z', 'America/New_York')).toEqual({
      day: '2026-11-01',
      time: '01:59:59',
      letters: 'EDT',
    });
    expect(localTime('2026-11-01T06:00:00Z', 'America/New_York')).toEqual({
      day: '2026-11-01',
      time: '01:00:00',
      letters: 'EST',
    });
  });

  test.each([
    ['America/Phoenix', '11:00:00', 'MST'],
    ['Pacific/Honolulu', '08:00:00', 'HST'],
    ['America/Puerto_Rico', '14:00:00', 'AST'],
    ['America/Regina', '12:00:00', 'CST'],
    ['America/Halifax', '15:00:00', 'ADT'],
    ['America/St_Johns', '15:30:00', 'NDT'],
    ['UTC', '18:00:00', 'UTC'],
  ] as const)('%s in July, at 18:00 UTC', (zone, time, letters) => {
    expect(localTime('2026-07-04T18:00:00.000Z', zone)).toEqual({ day: '2026-07-04', time, letters });
  });

  test('an evening in America is not the next day, and a morning in Guam not the day before', () => {
    expect(localDay('2026-11-26T01:30:00.000Z', 'America/Denver')).toBe('2026-11-25');
    expect(localTime('2026-11-25T20:00:00.000Z', 'Pacific/Guam')).toEqual({
      day: '2026-11-26',
      time: '06:00:00',
      letters: 'ChST',
    });
  });
});

test('a day ends with its last moment in each zone, also where the clocks are changed', () => {
  const days = fc.date({ min: new Date('2020-01-01'), max: new Date('2036-12-31'), noInvalidDate: true });
  fc.assert(
    fc.property(days, fc.constantFrom(...timeZones), (date, zone) => {
      const day = date.toISOString().slice(0, 10);
      const end = endOfDay(day, zone);
      expect(localDay(end, zone)).toBe(day);
      expect(localDay(new Date(Date.parse(end) + 1).toISOString(), zone)).not.toBe(day);
    }),
    { numRuns: 500 },
  );
});

test('a note says how far the clock of the shop stands from UTC', () => {
  expect(zoneNote('UTC')).toBe('Times are UTC.');
  expect(zoneNote('America/New_York')).toBe(
    'Times are Eastern time: EST, 5 hours behind UTC; in summer EDT, 4.',
  );
  expect(zoneNote('America/St_Johns')).toBe(
    'Times are Newfoundland time: NST, 3.5 hours behind UTC; in summer NDT, 2.5.',
  );
  expect(zoneNote('America/Phoenix')).toBe('Times are Mountain time: MST, 7 hours behind UTC.');
  expect(zoneNote('Pacific/Guam')).toBe('Times are Guam time: ChST, 10 hours ahead of UTC.');
  expect(new Set(timeZones.map(zoneWords)).size).toBe(timeZones.length);
});
