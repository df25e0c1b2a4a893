import { measuredText, ohmsText } from '../../circuit/quantity-text.js';
import { limitInUnit } from '../../circuit/units.js';
import type { Answer, Shown } from '../../logbook/entry.js';
import type { Ask, PlannedReading } from '../../steps/step.js';

/** What a meter showed, in words: "0.12 Ω", "OL (over 60 MΩ)", "119.6 V", "115.1 V at 12.5 A", "yes". */
export function shownOnPaper(shown: Shown): string {
  switch (shown.kind) {
    case 'ohms':
      if (shown.ohms !== null) return ohmsText(shown.ohms, figures);
      return shown.rangeOhms === undefined ? 'OL' : `OL (over ${ohmsText(shown.rangeOhms, figures)})`;
    case 'volts':
      return `${plain(shown.volts)} V${shown.lowImpedance ? ' (low impedance)' : ''}`;
    case 'loaded-volts':
      return `${plain(shown.volts)} V at ${plain(shown.amps)} A`;
    case 'answer':
      return shown.answer ? 'yes' : 'no';
    case 'lamps':
      return lampsText(shown);
  }
}

/** The meter's error at a reading: "± 0.05 Ω". */
export function uncertaintyText(planned: PlannedReading, uncertainty: number): string {
  const size = rounded(uncertainty);
  return planned.test === 'resistance' ? `± ${ohmsText(size, figures)}` : `± ${plain(size)} V`;
}

/** What was written down for one thing that a step asked. */
export function answerText(ask: Ask | undefined, answer: Answer): string {
  switch (answer.kind) {
    case 'tick':
      return 'done';
    case 'choice':
      return ask?.kind === 'choice'
        ? (ask.options.find((o) => o.value === answer.value)?.label ?? answer.value)
        : answer.value;
    case 'value':
      return ask?.kind === 'value'
        ? measuredText(ask.quantity, answer, ask.units)
        : `${answer.typed} ${answer.unit}`.trim();
    case 'note':
      return answer.text;
    case 'person':
      return answer.name;
    case 'photo':
      return answer.photos.length === 1 ? '1 photo' : `${answer.photos.length} photos`;
  }
}

/**
 * The limits of a value in both systems, the one it was typed in first: "1.6 to 2 N·m (14.2 to 17.7 in-lbf)", "at least 45 N (10 lbf)".
 * Empty where it has none.
 */
export function limitText(ask: Ask, answer?: Answer): string {
  if (ask.kind !== 'value' || (ask.min === undefined && ask.max === undefined)) return '';
  const { quantity, min, max, units } = ask;
  const say = (unit: string) => {
    const least = min === undefined ? undefined : limitInUnit(quantity, min, unit, 'least');
    const most = max === undefined ? undefined : limitInUnit(quantity, max, unit, 'most');
    return least !== undefined && most !== undefined ? `${least.split(' ')[0]} to ${most}` : (least ?? most);
  };
  const reach = max === undefined ? 'at least ' : min === undefined ? 'at most ' : '';
  const typed = answer?.kind === 'value' ? answer.unit : units.metric;
  const other = typed === units.metric ? units.imperial : units.metric;
  return `${reach}${other === typed ? say(typed) : `${say(typed)} (${say(other)})`}`;
}

function lampsText(shown: Extract<Shown, { kind: 'lamps' }>): string {
  const lit = [
    shown.hotNeutral ? 'hot to neutral' : '',
    shown.hotGround ? 'hot to ground' : '',
    shown.neutralGround ? 'neutral to ground' : '',
  ].filter((name) => name !== '');
  return lit.length === 0 ? 'no lamp lit' : `lit: ${lit.join(', ')}`;
}

/** No meter shows more, and within what one shows there is no exponent then. */
const figures = 6;

function plain(value: number): string {
  return String(Number(value.toPrecision(figures)));
}

/** Two figures, for an error. */
function rounded(value: number): number {
  return Number(value.toPrecision(2));
}
