import { rvClause } from '../../trade/rv-clauses.js';
import { judgement } from '../../trade/source.js';
import { type Circuit, words } from '../circuit.js';
import { type SheetLine, verdictOf } from '../sheet-line.js';

type OtherSource = Circuit['otherSources'][number];

const refused: ReadonlySet<OtherSource['keptOff']> = new Set([
  'two-breakers',
  'double-ended-lead',
  'nothing',
]);

/** Whether a second source can reach the pins of the inlet. */
export function otherSourceLines(circuit: Circuit): SheetLine[] {
  if (circuit.otherSources.length === 0) return [none()];
  return circuit.otherSources.map((source, k) => keptOff(source, nthOfKind(circuit.otherSources, k)));
}

function none(): SheetLine {
  return {
    id: 'source.none',
    group: 'sources',
    title: 'Another 120 V source',
    value: 'none, now or planned',
    limit: 'none, or kept off the pins of the inlet',
    verdict: 'pass',
    formula: 'No inverter, generator or second inlet is named in this circuit.',
    sources: [rvClause('551.30')!.source],
    concession: 'never',
    mend: 'Name every other source and how it is kept off.',
  };
}

function keptOff(source: OtherSource, id: string): SheetLine {
  const kind = words.otherSource[source.kind];
  const met =
    !refused.has(source.keptOff) && !(source.kind === 'second-inlet' && source.keptOff === 'own-relay');
  return {
    id: `source.${id}`,
    group: 'sources',
    title: `Another source: ${kind}`,
    value: `kept off by ${words.keptOff[source.keptOff]}`,
    limit: 'a transfer switch, its own transfer relay, or one plug moved by hand',
    verdict: verdictOf(met),
    formula: met
      ? 'Only one source at a time can feed the run, and none can reach the pins of the inlet; proven at the pins in the live tests.'
      : 'With this the pins of the inlet can be live with the cord out, or two sources can meet.',
    sources: [rvClause('551.30')!.source, judgement],
    concession: 'never',
    mend: 'Use a transfer switch, a source with its own transfer relay, or one plug moved by hand from source to source.',
  };
}

/** "inverter", and "inverter-2" for the second of them. */
export function nthOfKind(sources: readonly OtherSource[], k: number): string {
  const { kind } = sources[k]!;
  const before = sources.slice(0, k).filter((s) => s.kind === kind).length;
  return before === 0 ? kind : `${kind}-${before + 1}`;
}
