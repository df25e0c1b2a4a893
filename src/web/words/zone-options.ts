import { timeZones, zoneWords } from '../../logbook/time-zone.js';

/** The zones that a shop may read its times in, as the list offers them. */
export const zones = timeZones.map((value) => ({ value, label: zoneWords(value) }));
