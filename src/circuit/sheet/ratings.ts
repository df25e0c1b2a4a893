import { groundConductorRow } from '../../trade/ground-conductor.js';
import { rvClause } from '../../trade/rv-clauses.js';
import { smallConductorCap, smallConductorCapAmps } from '../../trade/small-conductor-cap.js';
import { judgement, type Source } from '../../trade/source.js';
import type { Circuit } from '../circuit.js';
import { inletAwg } from '../inlet-wire.js';
import { gaugeAreaText, gaugeText } from '../quantity-text.js';
import { linesIn, notJudged, type SheetLine, verdictOf } from '../sheet-line.js';

const rung = linesIn('ladder', 'never');

const receptacleRating: Source = {
  publication: 'NEC',
  clause: '210.21(B)',
  sure: 'C',
  note: 'stricter here than the code: a 15 A receptacle on a 20 A breaker is refused',
};

const receptacleOnCircuit: Source = { publication: 'NEC', clause: 'Table 210.21(B)(3)', sure: 'C' };

/** The ladder of ratings, supply to receptacle. The van's breaker is what protects the van's wire: no concession. */
export function ratingLines(circuit: Circuit): SheetLine[] {
  return [
    supply(circuit),
    breakerPresent(circuit),
    breakerToInlet(circuit),
    breakerToWire(circuit),
    breakerToReceptacles(circuit),
    ...receptaclesToBreaker(circuit),
    wireToInlet(circuit),
    ...oneCircuit(circuit),
    ground(circuit),
  ];
}

/** What may come before the inlet beside what was planned: a 20 A receptacle takes a 15 A plug as it is. */
function beforeInlet({ inlet }: Circuit): string {
  if (inlet.amps === 15)
    return 'A 20 A outlet takes this plug as it is, and an adapter can put 30 A before this inlet';
  return inlet.amps === 20 ? 'An adapter can put 30 A before this inlet' : 'This inlet is made for 30 A';
}

function supply(circuit: Circuit): SheetLine {
  const { supply, breaker } = circuit;
  const larger = supply.amps > breaker.amps;
  return rung('supply', 'Supply against the van', {
    value: `${supply.amps} A supply, ${breaker.amps} A breaker in the van`,
    limit: notJudged,
    verdict: 'note',
    formula: larger
      ? `The supply’s breaker may be ${supply.amps} A: only the van’s own ${breaker.amps} A protects the wire behind it.`
      : `${beforeInlet(circuit)}: the van’s own ${breaker.amps} A is what protects the wire behind it.`,
    sources: [judgement],
    mend: '',
  });
}

function breakerPresent({ breaker }: Circuit): SheetLine {
  return rung('breaker', 'The van’s own breaker', {
    value: `${breaker.amps} A, ${breaker.place}`,
    limit: 'one, in the van',
    verdict: 'pass',
    formula: 'The inlet is wired to a breaker of its own in the van before anything else.',
    sources: [rvClause('551.42(A)')!.source, rvClause('551.46(A)')!.source],
    mend: 'Put a breaker between the inlet and the first outlet.',
  });
}

function breakerToInlet({ breaker, inlet }: Circuit): SheetLine {
  return atMost('breaker-inlet', 'Breaker against the inlet', breaker.amps, inlet.amps, 'the inlet', {
    sources: [judgement, rvClause('551.46(A)')!.source],
    mend: `Use a breaker of ${inlet.amps} A or less, or a larger inlet.`,
  });
}

function breakerToWire({ breaker, run }: Circuit): SheetLine {
  const thinnest = Math.max(...run.map((o) => o.feed.awg));
  const cap = smallConductorCapAmps(thinnest);
  const base = {
    sources: [smallConductorCap.source],
    mend: `Use a breaker that ${gaugeText(thinnest)} allows, or thicker cable throughout.`,
  };
  if (cap !== undefined)
    return atMost(
      'breaker-wire',
      'Breaker against the thinnest wire',
      breaker.amps,
      cap,
      gaugeText(thinnest),
      base,
    );
  return rung('breaker-wire', 'Breaker against the thinnest wire', {
    ...base,
    value: `${breaker.amps} A before ${gaugeText(thinnest)}`,
    limit: 'no cap at this size',
    verdict: 'pass',
    formula: `${gaugeText(thinnest)} is larger than the sizes that have a cap of their own (14, 12 and 10 AWG).`,
  });
}

function breakerToReceptacles({ breaker, run }: Circuit): SheetLine {
  const smallest = Math.min(...run.map((o) => o.amps));
  return atMost(
    'breaker-receptacle',
    'Breaker against the receptacles',
    breaker.amps,
    smallest,
    'the smallest receptacle',
    {
      sources: [receptacleRating],
      mend:
        breaker.amps > 20
          ? `Use a breaker of ${smallest} A or less. A 30 A inlet needs a panel with 15 or 20 A breakers; this sheet is for one circuit behind one of them.`
          : `Use a breaker of ${smallest} A or less, or receptacles of ${breaker.amps} A.`,
    },
  );
}

/** A receptacle with the larger face invites a plug that this circuit does not feed; said only where there is one. */
function receptaclesToBreaker({ breaker, run }: Circuit): SheetLine[] {
  if (breaker.amps > 15) return [];
  return run
    .filter((o) => o.amps > breaker.amps)
    .map((o) =>
      rung(`receptacle-breaker.${o.id}`, `Receptacle at ${o.place} against the breaker`, {
        value: `${o.amps} A receptacle, ${breaker.amps} A breaker`,
        limit: `at most ${breaker.amps} A`,
        verdict: 'fail',
        formula: `A ${o.amps} A face takes plugs of loads that a ${breaker.amps} A circuit does not carry; a duplex counts as two receptacles.`,
        sources: [receptacleOnCircuit],
        mend: `Use a ${breaker.amps} A receptacle, or a ${o.amps} A breaker where cable and inlet allow it.`,
        concession: 'named-person',
        outlet: o.id,
      }),
    );
}

function supplysBreaker({ inlet, supply }: Circuit): string {
  if (supply.amps > inlet.amps)
    return `the one named here is ${supply.amps} A, larger than the inlet: keep this wire short, and use no adapter`;
  if (inlet.amps === 15)
    return 'that may be 15 A, or 20 A where such an outlet takes the plug: keep this wire short';
  return `that may be as large as the inlet: ${inlet.amps} A`;
}

function wireToInlet(circuit: Circuit): SheetLine {
  const { inlet } = circuit;
  const awg = inletAwg(circuit);
  const good = smallConductorCapAmps(awg);
  const met = good === undefined || good >= inlet.amps;
  return rung('wire-inlet', 'Wire from the inlet to the breaker', {
    value: `${gaugeAreaText(awg)}, good for ${good ?? 'more than 30'} A`,
    limit: `at least the inlet’s ${inlet.amps} A`,
    verdict: verdictOf(met),
    formula: `Ahead of the van’s breaker only the supply’s breaker protects this wire, and ${supplysBreaker(circuit)}.`,
    sources: [smallConductorCap.source, rvClause('551.46(A)')!.source],
    mend: `Use wire that is good for ${inlet.amps} A from the inlet to the breaker and keep it short.`,
  });
}

/** Said where the inlet could feed more than this circuit: what hangs on a second breaker is not in this sheet. */
function oneCircuit({ breaker, inlet }: Circuit): SheetLine[] {
  if (inlet.amps <= 20 || breaker.amps >= inlet.amps) return [];
  return [
    rung('one-circuit', 'One circuit behind this inlet', {
      value: `${inlet.amps} A inlet, one circuit of ${breaker.amps} A`,
      limit: notJudged,
      verdict: 'note',
      formula: `This sheet knows one circuit. Another from the same inlet has a breaker and a ground-fault device of its own and is a job of its own; what both draw together is held here to no limit, and may be more than the inlet’s ${inlet.amps} A.`,
      sources: [judgement, rvClause('551.42(A)')!.source],
      mend: '',
    }),
  ];
}

function ground({ breaker, run }: Circuit): SheetLine {
  const row = groundConductorRow(breaker.amps);
  const thinnest = Math.max(...run.map((o) => o.feed.awg));
  return rung('ground-size', 'Ground conductor in the cable', {
    value: gaugeAreaText(thinnest),
    limit: row ? `${gaugeAreaText(row.awg)} or thicker for ${breaker.amps} A` : 'no figure at hand',
    verdict: verdictOf(row && thinnest <= row.awg),
    formula: `The ground of each length is as thick as its hot: ${gaugeText(thinnest)} at the thinnest.`,
    sources: row ? [row.source] : [judgement],
    mend: 'Use cable whose ground conductor is as thick as the breaker asks.',
  });
}

interface Rest {
  readonly sources: readonly Source[];
  readonly mend: string;
}

function atMost(id: string, title: string, amps: number, cap: number, what: string, rest: Rest): SheetLine {
  return rung(id, title, {
    ...rest,
    value: `${amps} A`,
    limit: `at most ${cap} A (${what})`,
    verdict: verdictOf(amps <= cap),
    formula: `${amps} A against ${cap} A for ${what}.`,
  });
}
