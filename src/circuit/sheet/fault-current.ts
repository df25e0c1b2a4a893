import { judgement } from '../../trade/source.js';
import { breakerTrip } from '../../trade/trip-time.js';
import type { Circuit } from '../circuit.js';
import { conductorSource } from '../conductor.js';
import { heavilyLoaded, loopOhm, loopShare, testDay } from '../loop-share.js';
import { numberText } from '../quantity-text.js';
import { notJudged, type SheetLine, verdictOf } from '../sheet-line.js';

/** What flows when hot meets neutral or ground at the last outlet, and what the breaker makes of it. */
export function faultLines(circuit: Circuit): SheetLine[] {
  const last = circuit.run.length - 1;
  const { volts } = circuit.supply;
  const hotOhm = loopOhm(loopShare(circuit, last, heavilyLoaded));
  const least = volts / hotOhm;
  const cold = volts / loopOhm(loopShare(circuit, last, testDay));
  const outlet = circuit.run[last]!;
  const twice = breakerTrip('overload-200');
  const needed = twice.low * circuit.breaker.amps;
  // The guess is for 15 A: a larger breaker wants more, in proportion.
  const guess = breakerTrip('magnetic-band');
  const scale = circuit.breaker.amps / 15;
  const band = { low: Math.round(guess.low * scale), high: Math.round(guess.high * scale) };
  const speed =
    least >= band.high
      ? 'it may be expected to open at once'
      : least >= band.low
        ? 'it may open at once, or in seconds by heat'
        : 'it opens by heat, in seconds';
  return [
    {
      id: 'fault.last',
      group: 'fault',
      title: `Short circuit at ${outlet.place}`,
      value: `${numberText(least, 0)} A warm, ${numberText(cold, 0)} A at 20 °C`,
      limit: `at least ${needed} A, twice the breaker, where it opens within two minutes`,
      verdict: verdictOf(least >= needed),
      formula: `${volts} V ÷ ${numberText(hotOhm, 3)} Ω of supply, cord and van at 75 °C.`,
      sources: [twice.source, conductorSource],
      concession: 'named-person',
      mend: 'Use a shorter or thicker cord, or thicker cable.',
      outlet: outlet.id,
      figures: { amps: least, ampsAt20C: cold },
    },
    {
      id: 'fault.speed',
      group: 'fault',
      title: 'How soon the breaker opens',
      value: `at ${numberText(least, 0)} A ${speed}`,
      limit: `${band.low}–${band.high} A, a guess`,
      verdict: 'note',
      formula: `From ${band.low} to ${band.high} A a ${circuit.breaker.amps} A breaker may open at once; no figure for it was found${scale === 1 ? '' : ', and this is the guess for 15 A in proportion'}.`,
      sources: [guess.source],
      concession: 'named-person',
      mend: '',
    },
    {
      id: 'fault.ahead',
      group: 'fault',
      title: 'Ahead of the van’s breaker',
      value: 'the supply’s breaker alone',
      limit: notJudged,
      verdict: 'note',
      formula:
        'A fault in the inlet or in the wire up to the van’s breaker is opened by the supply’s breaker only.',
      sources: [judgement],
      concession: 'named-person',
      mend: '',
    },
  ];
}
