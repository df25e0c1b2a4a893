import { ohmsText } from '../circuit/quantity-text.js';
import type { Shown } from '../logbook/entry.js';

/** What a meter showed, as pages and entries say it: "0.04 Ω", "OL", "119.8 V", "yes". Paper says more of it (`record/document/shown-text`). */
export function shownText(shown: Shown): string {
  switch (shown.kind) {
    case 'ohms':
      return shown.ohms === null ? 'OL' : ohmsText(shown.ohms, 4);
    case 'volts':
      return `${shown.volts} V${shown.lowImpedance ? ' (low impedance)' : ''}`;
    case 'loaded-volts':
      return `${shown.volts} V at ${shown.amps} A`;
    case 'answer':
      return shown.answer ? 'yes' : 'no';
    case 'lamps':
      return `lamps: hot–neutral ${lit(shown.hotNeutral)}, hot–ground ${lit(shown.hotGround)}, neutral–ground ${lit(shown.neutralGround)}`;
  }
}

function lit(on: boolean): string {
  return on ? 'on' : 'off';
}
