import { type PublishedTable, rowWhere } from './published-table.js';
import { commonPractice, type Source } from './source.js';

export type MistakeAt = 'any' | 'continuity' | 'isolation' | 'bond' | 'dead' | 'live' | 'loaded' | 'trip';

export interface MeterMistake {
  readonly id: string;
  readonly at: readonly MistakeAt[];
  readonly text: string;
  readonly source?: Source;
}

/** How a meter misleads; one is shown beside an entry where it matters. */
export const meterMistakes: PublishedTable<MeterMistake> = {
  title: 'Mistakes with the meter',
  unit: 'sentence',
  source: commonPractice,
  rows: [
    {
      id: 'shutter',
      at: ['dead', 'continuity', 'live'],
      text: 'A single probe never opens a shuttered slot: false OL, false dead. Use a test plug.',
    },
    {
      id: 'leads-not-nulled',
      at: ['continuity', 'bond'],
      text: 'Short the leads first and take that off; the long lead alone may read half an ohm.',
    },
    {
      id: 'buzzer',
      at: ['continuity', 'bond'],
      text: 'The buzzer sounds below about 100 Ω. Read the figure.',
      source: { publication: "A meter maker's data sheet", sure: 'A' },
    },
    {
      id: 'low-range-ol',
      at: ['isolation'],
      text: 'OL on a 200 Ω range says only more than 200 Ω. Use a range that reaches 1 MΩ.',
    },
    {
      id: 'load-left-in',
      at: ['isolation'],
      text: 'Something still plugged in, or a charger wired in, reads as a path from hot to neutral.',
    },
    { id: 'breaker-off', at: ['continuity'], text: "With the van's breaker off the hot reads open." },
    {
      id: 'device-electronics',
      at: ['isolation'],
      text: 'The electronics of a ground-fault device sit across hot and neutral: some kΩ to MΩ there is no leak.',
    },
    {
      id: 'ohms-on-live',
      at: ['continuity', 'bond', 'isolation'],
      text: 'Ohms on a point with volts on it shifts the reading or blows the fuse. Look for volts first.',
    },
    {
      id: 'blown-fuse',
      at: ['dead'],
      text: 'A meter with a blown fuse or flat battery reads 0 V everywhere. Prove it before and after.',
    },
    {
      id: 'leads-in-amps',
      at: ['live', 'dead'],
      text: 'Leads left in the amps sockets are a dead short at the probe. Look at the sockets.',
    },
    {
      id: 'fingers',
      at: ['isolation'],
      text: 'Fingers on both probes read about 1 MΩ. Hold one probe by a clip.',
    },
    {
      id: 'ghost',
      at: ['live'],
      text: 'A conductor that nothing drives shows ghost volts. They are neither live nor dead: prove it another way.',
    },
    {
      id: 'low-impedance-ground',
      at: ['live'],
      text: 'A low-impedance range from hot to ground trips the ground-fault device. That is no fault.',
    },
    {
      id: 'paint',
      at: ['bond'],
      text: 'Paint or anodising under the probe reads open. Scratch to bright metal.',
    },
    {
      id: 'own-bolt',
      at: ['bond'],
      text: "Measured to the bond's own bolt, the joint with the body is left out. Use a second bare spot.",
    },
    { id: 'silence', at: ['dead'], text: 'A non-contact tester that stays silent proves nothing.' },
    {
      id: 'two-ranges',
      at: ['loaded'],
      text: 'Take off, on and off again on one range; a supply that sags spoils a difference of two.',
    },
    {
      id: 'dc-selected',
      at: ['live', 'dead'],
      text: 'DC selected reads mains as nothing. Look for the wave sign.',
    },
    {
      id: 'tester-no-trip',
      at: ['trip'],
      text: 'A plug-in tester cannot trip the device where the ground is open. Prove the ground first, then wait 7 s.',
    },
    {
      id: 'three-lamps',
      at: ['live'],
      text: 'Three lamps that say "correct" cannot see neutral and ground exchanged, nor a ground that is live.',
    },
    {
      id: 'zero-under-load',
      at: ['loaded'],
      text: '0.0 V from neutral to ground under load is not perfect: neutral and ground are joined nearby.',
    },
    {
      id: 'wrong-row',
      at: ['any'],
      text: 'Look at the picture of the outlet before writing: a reading in the next row misleads everyone.',
    },
  ],
};

/** The mistakes that belong beside one kind of reading, in the table's order. */
export function mistakesAt(at: MistakeAt): readonly MeterMistake[] {
  return meterMistakes.rows.filter((row) => row.at.includes(at));
}

/** The mistake by its id, or undefined. */
export function meterMistake(id: string): MeterMistake | undefined {
  return rowWhere(meterMistakes, (row) => row.id === id);
}
