import { ambientCorrection, ambientFactor } from '../../trade/ambient-correction.js';
import { ampacity, ampacityAmps } from '../../trade/ampacity.js';
import type { Source } from '../../trade/source.js';
import type { Circuit, Outlet } from '../circuit.js';
import { ampsText, celsiusText, gaugeText } from '../quantity-text.js';
import { type SheetLine, verdictOf, withinMost } from '../sheet-line.js';

const terminals: Source = { publication: 'NEC', clause: '110.14(C)', sure: 'B' };
const sheathed: Source = { publication: 'NEC', clause: '334.80', sure: 'C' };

/** Amperes that each length of cable carries where it is hottest, against the breaker before it. */
export function cableAmpacityLines(circuit: Circuit): SheetLine[] {
  return circuit.run.map((o) => feedLine(circuit, o));
}

function feedLine(circuit: Circuit, outlet: Outlet): SheetLine {
  const { cable, breaker } = circuit;
  const { awg } = outlet.feed;
  const carried = carriedAmps(circuit, awg);
  const beyond = cable.hottestPlaceC >= cable.insulationC;
  const verdict = beyond ? 'fail' : verdictOf(carried && withinMost(breaker.amps, carried.amps));
  const nonmetallic = cable.method === 'nonmetallic-solid';
  return {
    id: `cable.ampacity.${outlet.id}`,
    group: 'cable',
    title: `Cable to ${outlet.place}, ${gaugeText(awg)}`,
    value: carried ? ampsText(carried.amps) : beyond ? 'nothing left' : 'no figure at hand',
    limit: `at least ${breaker.amps} A (the breaker)`,
    verdict,
    formula:
      carried?.formula ??
      (beyond
        ? `Air of ${celsiusText(cable.hottestPlaceC)} is as hot as the insulation may be (${cable.insulationC} °C).`
        : `The table at hand gives no factor for air of ${celsiusText(cable.hottestPlaceC)} with insulation of ${cable.insulationC} °C.`),
    sources: [ampacity.source, ambientCorrection.source, terminals, ...(nonmetallic ? [sheathed] : [])],
    concession: 'named-person',
    mend: 'Keep the cable out of the heat, or use thicker cable or insulation of a higher temperature.',
    outlet: outlet.id,
    ...(carried ? { figures: { amps: carried.amps } } : {}),
  };
}

function carriedAmps({ cable }: Circuit, awg: number): { amps: number; formula: string } | undefined {
  const { insulationC, hottestPlaceC } = cable;
  const terminalsC = cable.method === 'nonmetallic-solid' ? 60 : cable.terminalsC;
  const atThirty = ampacityAmps(awg, insulationC);
  const factor = ambientFactor(hottestPlaceC, insulationC);
  const atTerminals = ampacityAmps(awg, terminalsC);
  if (atThirty === undefined || factor === undefined || atTerminals === undefined) return undefined;
  const hot = atThirty * factor;
  return {
    amps: Math.min(hot, atTerminals),
    formula: `${atThirty} A with insulation of ${insulationC} °C × ${factor} for air of ${celsiusText(hottestPlaceC)} = ${ampsText(hot)}, and no more than the ${atTerminals} A of the ${terminalsC} °C column for the terminals.`,
  };
}
