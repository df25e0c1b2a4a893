import type { Circuit } from '../../circuit/circuit.js';
import { loadKeys, type TriedLoads, tryLoads } from '../../circuit/try-loads.js';
import { type SumPart, sumAgainstLimit } from '../../drawing/sum-against-limit.js';
import { buildLimits } from '../../trade/build-limits.js';
import { sourceText } from '../../trade/source.js';
import { type DrawnTwice, drawnTwice } from '../page/drawn.js';

/** The name of the fields that say which loads are on. */
export const onField = 'on';

const words: Readonly<Record<TriedLoads['answer'], string>> = {
  none: 'nothing on',
  carried: 'carried',
  apart: 'not in the plan',
  'too-much': 'too much',
};
const looks: Readonly<Record<TriedLoads['answer'], string>> = {
  none: 'off',
  carried: 'ready',
  apart: 'unproven',
  'too-much': 'fail',
};

/**
 * Loads to turn on and off, and what they ask of the circuit together; undefined where it names no load. `on` holds the keys of
 * the loads that are on.
 */
export function tryLoadsModel(
  circuit: Circuit,
  on: readonly string[],
  form: { action?: string; of?: string },
) {
  const loads = loadKeys(circuit);
  if (loads.length === 0) return undefined;
  const tried = tryLoads(circuit, on);
  return {
    ...form,
    name: onField,
    loads: loads.map(({ key, placed }) => ({
      key,
      on: on.includes(key),
      label: placed.load.name,
      hint: [
        `${Number(placed.amps.toFixed(1)) || '<0.1'} A`,
        circuit.run.find((o) => o.id === placed.outlet)?.place ?? '',
        ...(placed.load.continuous ? ['three hours and more'] : []),
      ].join(', '),
    })),
    look: looks[tried.answer],
    word: words[tried.answer],
    sentences: tried.sentences,
    drawing: drawSum(circuit, tried),
    source: sourceText(buildLimits.continuousShare.source),
  };
}

/** The loads that an address says are on: `?on=bench.0&on=press.0`. */
export function loadsOn(query: unknown): string[] {
  const on = (query as Record<string, unknown>)[onField];
  return [on].flat().flatMap((key) => (typeof key === 'string' ? [key.slice(0, 40)] : []));
}

function drawSum({ breaker }: Circuit, { loads, amps, countedAmps }: TriedLoads): DrawnTwice {
  const parts: SumPart[] = loads.map((p) => ({ label: p.load.name, value: p.amps }));
  const extra = { label: 'a quarter more for three hours', value: countedAmps - amps, extra: true };
  return drawSumAgainst('sum', {
    title: 'Loads that are on, against the breaker',
    unit: 'A',
    parts: countedAmps > amps ? [...parts, extra] : parts,
    limit: { label: `${breaker.amps} A, the breaker`, value: breaker.amps },
  });
}

/** A sum against its limit. */
export function drawSumAgainst(
  idPrefix: string,
  input: Omit<Parameters<typeof sumAgainstLimit>[0], 'layout'>,
): DrawnTwice {
  return drawnTwice(idPrefix, (layout) => sumAgainstLimit({ ...input, layout }));
}
