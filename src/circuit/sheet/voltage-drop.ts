import type { Limit } from '../../trade/limit.js';
import { readingLimits } from '../../trade/reading-limits.js';
import { designAmps } from '../allowed-set.js';
import type { Circuit, Outlet } from '../circuit.js';
import { conductorSource } from '../conductor.js';
import { inHottestPlace, type LoopShare, loopOhm, loopShare, testDay } from '../loop-share.js';
import { ampsText, celsiusText, numberText, partedText } from '../quantity-text.js';
import { type SheetLine, verdictOf, withinMost } from '../sheet-line.js';

/** The drop at every outlet with the largest allowed set drawn there, in three shares: supply, cord, van. */
export function voltageDropLines(circuit: Circuit): SheetLine[] {
  return circuit.run.flatMap((o, k) => [totalLine(circuit, o, k), vanLine(circuit, o, k)]);
}

function totalLine(circuit: Circuit, outlet: Outlet, k: number): SheetLine {
  const share = loopShare(circuit, k, inHottestPlace(circuit));
  return dropLine(circuit, outlet, {
    id: `drop.total.${outlet.id}`,
    title: `Drop at ${outlet.place}, supply and all`,
    ohm: loopOhm(share),
    coldOhm: loopOhm(loopShare(circuit, k, testDay)),
    limit: readingLimits.drop,
    share,
    words: `${ohms(share.supplyOhm)} supply + ${ohms(share.cordOhm)} cord + ${ohms(share.vanOhm)} van`,
    mend: 'Use a shorter or thicker cord, thicker cable, or a smaller set of loads. Where the supply is weak, tell its owner.',
  });
}

function vanLine(circuit: Circuit, outlet: Outlet, k: number): SheetLine {
  const share = loopShare(circuit, k, inHottestPlace(circuit));
  const cold = loopShare(circuit, k, testDay);
  return dropLine(circuit, outlet, {
    id: `drop.van.${outlet.id}`,
    title: `Drop at ${outlet.place}, cord and van`,
    ohm: share.cordOhm + share.vanOhm,
    coldOhm: cold.cordOhm + cold.vanOhm,
    limit: readingLimits.dropVanAndCord,
    share,
    words: `${ohms(share.cordOhm)} cord + ${ohms(share.vanOhm)} van`,
    mend: 'Use a shorter or thicker cord, or thicker cable.',
  });
}

interface Drop {
  readonly id: string;
  readonly title: string;
  readonly ohm: number;
  readonly coldOhm: number;
  readonly limit: Limit;
  readonly share: LoopShare;
  readonly words: string;
  readonly mend: string;
}

function dropLine(circuit: Circuit, outlet: Outlet, drop: Drop): SheetLine {
  const { volts } = circuit.supply;
  const amps = designAmps(circuit);
  const dropV = amps * drop.ohm;
  const percent = (100 * dropV) / volts;
  const coldV = amps * drop.coldOhm;
  const at = inHottestPlace(circuit);
  return {
    id: drop.id,
    group: 'drop',
    title: drop.title,
    value: `${partedText(percent, drop.limit.value)} % (${numberText(dropV)} V of ${volts} V)`,
    limit: `at most ${drop.limit.value} %`,
    verdict: verdictOf(withinMost(percent, drop.limit.value)),
    formula: `${ampsText(amps)} × (${drop.words}), hot and neutral, cord at ${celsiusText(at.cordC)} and cable at ${celsiusText(at.cableC)}; ${numberText(coldV)} V at ${celsiusText(20)}.`,
    sources: [drop.limit.source, conductorSource],
    concession: 'named-person',
    mend: drop.mend,
    outlet: outlet.id,
    figures: {
      amps,
      percent,
      volts: dropV,
      voltsAt20C: coldV,
      supplyVolts: amps * drop.share.supplyOhm,
      cordVolts: amps * drop.share.cordOhm,
      vanVolts: amps * drop.share.vanOhm,
    },
  };
}

function ohms(value: number): string {
  return `${numberText(value, 3)} Ω`;
}
