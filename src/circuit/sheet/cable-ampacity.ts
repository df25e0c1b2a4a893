import { ambientCorrection, ambientFactor } from '../../trade/ambient-correction.js';
import { ampacity, ampacityAmps } from '../../trade/ampacity.js';
import { smallConductorCapAmps } from '../../trade/small-conductor-cap.js';
import type { Source } from '../../trade/source.js';
import type { Circuit, Outlet } from '../circuit.js';
import { inletAwg } from '../inlet-wire.js';
import { ampsText, celsiusText, gaugeText } from '../quantity-text.js';
import { type SheetLine, verdictOf, withinMost } from '../sheet-line.js';

const terminals: Source = { publication: 'NEC', clause: '110.14(C)', sure: 'B' };
const sheathed: Source = { publication: 'NEC', clause: '334.80', sure: 'C' };

/** Amperes that each length of cable carries where it is hottest, against the breaker before it; ahead of the van's own, against the inlet. */
export function cableAmpacityLines(circuit: Circuit): SheetLine[] {
  return [...inletLine(circuit), ...circuit.run.map((o) => feedLine(circuit, o))];
}

/** Where the wire ahead of the van's breaker is another, or stands behind more; one that its size alone rules out is on the ladder. */
function inletLine(circuit: Circuit): SheetLine[] {
  const { inlet, breaker, inletWire } = circuit;
  const awg = inletAwg(circuit);
  const cap = smallConductorCapAmps(awg);
  if (inletWire === undefined && inlet.amps <= breaker.amps) return [];
  if (cap !== undefined && cap < inlet.amps) return [];
  return [
    ampacityLine(circuit, {
      id: 'inlet-wire',
      title: `Cable from the inlet to the breaker, ${gaugeText(awg)}`,
      awg,
      amps: inlet.amps,
      what: 'the inlet',
    }),
  ];
}

function feedLine(circuit: Circuit, { id, place, feed }: Outlet): SheetLine {
  const title = `Cable to ${place}, ${gaugeText(feed.awg)}`;
  const { amps } = circuit.breaker;
  return {
    ...ampacityLine(circuit, { id, title, awg: feed.awg, amps, what: 'the breaker' }),
    outlet: id,
  };
}

interface Length {
  readonly id: string;
  readonly title: string;
  readonly awg: number;
  /** What it has to carry, A, and whose rating that is. */
  readonly amps: number;
  readonly what: string;
}

function ampacityLine(circuit: Circuit, { id, title, awg, amps, what }: Length): SheetLine {
  const { cable } = circuit;
  const carried = carriedAmps(circuit, awg);
  const beyond = cable.hottestPlaceC >= cable.insulationC;
  const verdict = beyond ? 'fail' : verdictOf(carried && withinMost(amps, carried.amps));
  const nonmetallic = cable.method === 'nonmetallic-solid';
  return {
    id: `cable.ampacity.${id}`,
    group: 'cable',
    title,
    value: carried ? ampsText(carried.amps) : beyond ? 'nothing left' : 'no figure at hand',
    limit: `at least ${amps} A (${what})`,
    verdict,
    formula:
      carried?.formula ??
      (beyond
        ? `Air of ${celsiusText(cable.hottestPlaceC)} is as hot as the insulation may be (${cable.insulationC} °C).`
        : `The table at hand gives no factor for air of ${celsiusText(cable.hottestPlaceC)} with insulation of ${cable.insulationC} °C.`),
    sources: [ampacity.source, ambientCorrection.source, terminals, ...(nonmetallic ? [sheathed] : [])],
    concession: 'named-person',
    mend: 'Keep the cable out of the heat, or use thicker cable or insulation of a higher temperature.',
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
