import type { CautionId } from './cautions.js';
import { type PublishedTable, rowWhere } from './published-table.js';
import { commonPractice, type Source } from './source.js';

interface MeterMistake {
  readonly id: string;
  readonly text: string;
  /** The caution that says the same, and stands for it where both are called for. */
  readonly caution?: CautionId;
  readonly source?: Source;
}

const rows = [
  {
    id: 'shutter',
    text: 'A single probe never opens a shuttered slot: false OL, false dead. Use a test plug.',
    caution: 'shutters',
  },
  {
    id: 'leads-not-nulled',
    text: 'Short the leads first and take that off; the long lead alone may read half an ohm.',
  },
  {
    id: 'buzzer',
    text: 'The buzzer sounds below about 100 Ω. Read the figure.',
    source: { publication: 'A meter maker’s data sheet', sure: 'A' },
  },
  {
    id: 'low-range-ol',
    text: 'OL on a 200 Ω range says only more than 200 Ω. Use a range that reaches 1 MΩ.',
  },
  {
    id: 'load-left-in',
    text: 'Something still plugged in, or a charger wired in, reads as a path from hot to neutral.',
  },
  { id: 'breaker-off', text: 'With the van’s breaker off the hot reads open.' },
  {
    id: 'device-electronics',
    text: 'The electronics of a ground-fault device sit across hot and neutral: some kΩ to MΩ there may be theirs, and no leak.',
  },
  {
    id: 'ohms-on-live',
    text: 'Ohms on a point with volts on it shifts the reading or blows the fuse. Look for volts first.',
  },
  {
    id: 'blown-fuse',
    text: 'A meter with a blown fuse or flat battery reads 0 V everywhere. Prove it before and after.',
  },
  {
    id: 'leads-in-amps',
    text: 'Leads left in the amps sockets are a dead short at the probe. Look at the sockets.',
  },
  {
    id: 'fingers',
    text: 'Fingers on both probes read about 1 MΩ. Hold one probe by a clip.',
  },
  {
    id: 'ghost',
    text: 'A conductor that nothing drives shows ghost volts. They are neither live nor dead: prove it another way.',
  },
  {
    id: 'low-impedance-ground',
    text: 'A low-impedance range from hot to ground trips the ground-fault device. That is no fault.',
    caution: 'low-impedance-trips',
  },
  {
    id: 'paint',
    text: 'Paint or anodising under the probe reads open. Scratch to bright metal.',
  },
  {
    id: 'own-bolt',
    text: 'Measured to the bond’s own bolt, the joint with the body is left out. Use a second bare spot.',
  },
  { id: 'silence', text: 'A non-contact tester that stays silent proves nothing.' },
  {
    id: 'two-ranges',
    text: 'Take off, on and off again on one range; a supply that sags spoils a difference of two.',
  },
  {
    id: 'dc-selected',
    text: 'DC selected reads mains as nothing. Look for the wave sign.',
  },
  {
    id: 'three-lamps',
    text: 'Three lamps that say "correct" cannot see neutral and ground exchanged, nor a ground that is live.',
  },
  {
    id: 'zero-under-load',
    text: '0.0 V from neutral to ground under load is not perfect: neutral and ground are joined nearby.',
  },
  {
    id: 'wrong-row',
    text: 'Look which outlet this is before you write: a figure given to the wrong one misleads everyone.',
  },
] as const satisfies readonly MeterMistake[];

export type MistakeId = (typeof rows)[number]['id'];

/** How a meter misleads; said beside the readings that name it. */
export const meterMistakes: PublishedTable<MeterMistake> = {
  title: 'Mistakes with the meter',
  unit: 'sentence',
  source: commonPractice,
  rows,
};

/** The mistake by its id. */
export function meterMistake(id: MistakeId): MeterMistake {
  return rowWhere(meterMistakes, (row) => row.id === id)!;
}
