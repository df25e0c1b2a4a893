import { buildLimits } from '../../trade/build-limits.js';
import { receptacleLoad, receptacleLoadAmps } from '../../trade/receptacle-load.js';
import { judgement } from '../../trade/source.js';
import { type AllowedSet, allowedSets, designAmps } from '../allowed-set.js';
import { type Circuit, loadAmps, type Outlet } from '../circuit.js';
import { ampsAt, countedAmps, mostFastenedAmps } from '../load-sum.js';
import { ampsText, listText, partedText } from '../quantity-text.js';
import { linesIn, notJudged, type SheetLine, verdictOf, withinMost } from '../sheet-line.js';

const loadLine = linesIn('loads', 'named-person', 'load');

/** What may be on together against the breaker, and what may hang on one receptacle. */
export function loadLines(circuit: Circuit): SheetLine[] {
  const sets = allowedSets(circuit);
  if (sets.length === 0) return [noLoads(circuit)];
  return [
    ...sets.flatMap((set) => setLines(circuit, set)),
    ...circuit.run.filter((o) => o.loads.length > 0).flatMap((o) => outletLines(circuit, o, sets)),
  ];
}

function noLoads(circuit: Circuit): SheetLine {
  return loadLine('none', 'Loads', {
    value: 'none named',
    limit: notJudged,
    verdict: 'note',
    formula: `No load is named: the drop is computed for ${ampsText(designAmps(circuit))}, four fifths of the breaker.`,
    sources: [judgement],
    mend: '',
  });
}

function setLines(circuit: Circuit, set: AllowedSet): SheetLine[] {
  const { breaker } = circuit;
  const names = listText(set.loads.map((p) => p.load.name));
  const counted = countedAmps(set);
  const half = mostFastenedAmps(circuit);
  const lines = [
    loadLine(`set.${set.id}`, `Together: ${set.name}`, {
      value: `${partedText(set.amps, breaker.amps)} A`,
      limit: `at most ${breaker.amps} A (the breaker)`,
      verdict: verdictOf(withinMost(set.amps, breaker.amps)),
      formula: `${names}, summed at 120 V.`,
      sources: [judgement, buildLimits.continuousShare.source],
      mend: 'Take a load out of this set.',
      figures: { amps: set.amps },
    }),
  ];
  if (set.continuousAmps > 0)
    lines.push(
      loadLine(`continuous.${set.id}`, `Three hours and more: ${set.name}`, {
        value: `${partedText(counted, breaker.amps)} A`,
        limit: `at most ${breaker.amps} A (the breaker)`,
        verdict: verdictOf(withinMost(counted, breaker.amps)),
        formula: `${ampsText(set.continuousAmps)} on for three hours or more × ${buildLimits.continuousShare.value / 100} + ${ampsText(set.amps - set.continuousAmps)} of the rest.`,
        sources: [buildLimits.continuousShare.source],
        mend: 'Take a load out of this set, or do not run it for three hours.',
        figures: { amps: counted },
      }),
    );
  if (set.fastenedAmps > 0)
    lines.push(
      loadLine(`fastened.${set.id}`, `Fastened in place: ${set.name}`, {
        value: `${partedText(set.fastenedAmps, half)} A`,
        limit: `at most ${ampsText(half)} (half of the breaker)`,
        verdict: verdictOf(withinMost(set.fastenedAmps, half)),
        formula: `${listText(set.loads.filter((p) => p.load.fastened).map((p) => p.load.name))} on a circuit that has receptacles.`,
        sources: [buildLimits.fastenedShare.source],
        mend: 'Give the fastened load a circuit of its own, or a smaller one.',
        figures: { amps: set.fastenedAmps },
      }),
    );
  return lines;
}

function outletLines(circuit: Circuit, outlet: Outlet, sets: readonly AllowedSet[]): SheetLine[] {
  const loose = outlet.loads.filter((l) => !l.fastened);
  const most = Math.max(0, ...loose.map((l) => loadAmps(circuit, l)));
  const share = (buildLimits.loosePlugShare.value / 100) * circuit.breaker.amps;
  const here = Math.max(...sets.map((set) => ampsAt(set.loads, outlet.id)));
  const cap = receptacleLoadAmps(outlet.amps);
  const lines = [
    loadLine(`receptacle.${outlet.id}`, `On the receptacle: ${outlet.place}`, {
      value: `${partedText(here, cap ?? Number.POSITIVE_INFINITY)} A`,
      limit: cap === undefined ? 'no figure at hand' : `at most ${cap} A on a ${outlet.amps} A receptacle`,
      verdict: verdictOf(cap === undefined ? undefined : withinMost(here, cap)),
      formula: 'The most that any set puts on this receptacle.',
      sources: [receptacleLoad.source],
      mend: 'Use a smaller load, or move one to another outlet.',
      outlet: outlet.id,
      figures: { amps: here },
    }),
  ];
  if (loose.length > 0)
    lines.push(
      loadLine(`plug.${outlet.id}`, `Largest plug: ${outlet.place}`, {
        value: `${partedText(most, share)} A`,
        limit: `at most ${ampsText(share)} (four fifths of the breaker)`,
        verdict: verdictOf(withinMost(most, share)),
        formula: 'The largest single load here that is plugged in and not fastened.',
        sources: [buildLimits.loosePlugShare.source],
        mend: 'Use a smaller load.',
        outlet: outlet.id,
        figures: { amps: most },
      }),
    );
  return lines;
}
