import { buildLimits } from '../../trade/build-limits.js';
import { commonPractice, type Source } from '../../trade/source.js';
import { boxesWithoutClamp } from '../box.js';
import type { Circuit } from '../circuit.js';
import { enteringDiameterMm, thickestDiameterMm } from '../inlet-wire.js';
import { capital, metresText, millimetresText } from '../quantity-text.js';
import { linesIn, type SheetLine, verdictOf, withinMost } from '../sheet-line.js';

const entryLine = linesIn('entry');

const edges: Source = { publication: 'NEC', clause: '300.4(B)(1)', sure: 'B' };
const strain: Source = { publication: 'NEC', clause: '314.17 and 400.14', sure: 'A' };

/** The opening, what guards its edge, what holds the cable, and how it bends. */
export function entryLines(circuit: Circuit): SheetLine[] {
  return [
    hole(circuit),
    edge(circuit),
    grip(circuit),
    firstSupport(circuit),
    spacing(circuit),
    spacingShaken(circuit),
    bend(circuit),
  ];
}

function hole(circuit: Circuit): SheetLine {
  const { entry } = circuit;
  const od = enteringDiameterMm(circuit);
  return entryLine('hole', 'Hole and cable', {
    value: `${millimetresText(od)} cable through ${millimetresText(entry.holeMm)}`,
    limit: 'the cable thinner than the hole',
    verdict: verdictOf(od < entry.holeMm),
    formula: 'The hole takes the cable with its grommet or grip around it.',
    sources: [commonPractice],
    mend: 'Make the hole as large as the grommet or grip asks.',
  });
}

function edge({ entry }: Circuit): SheetLine {
  const covered = entry.coversWholeEdge;
  const guard = entry.kind === 'cord-grip' ? 'the cord grip' : 'the grommet or bushing';
  return entryLine('edge', 'Edge of the hole', {
    value: covered ? 'covered all round' : 'not covered all round',
    limit: 'the whole edge covered, before the cable goes in',
    verdict: verdictOf(covered),
    formula: `${capital(guard)} covers ${covered ? 'all' : 'not all'} of the edge.`,
    sources: [edges],
    mend: 'Fit a grommet, bushing or cord grip that covers the whole edge.',
  });
}

function grip(circuit: Circuit): SheetLine {
  const { entry } = circuit;
  const od = enteringDiameterMm(circuit);
  const { clampMinMm, clampMaxMm } = entry;
  const known = clampMaxMm !== undefined && (entry.kind !== 'cord-grip' || clampMinMm !== undefined);
  // A grommet lies inside its hole, a grip's thread goes through it: what either takes is narrower than the hole.
  const impossible = known && clampMaxMm >= entry.holeMm;
  const met = known ? withinMost(od, clampMaxMm) && withinMost(clampMinMm ?? 0, od) : undefined;
  const what = entry.kind === 'cord-grip' ? 'cord grip' : 'grommet';
  const range = [clampMinMm, clampMaxMm].filter((v) => v !== undefined).map((v) => millimetresText(v));
  return entryLine('grip', `The ${what} and the cable`, {
    value: `${millimetresText(od)} cable`,
    limit: range.length === 0 ? `the ${what}’s range, not given` : `${what} for ${range.join(' to ')}`,
    verdict: verdictOf(met && impossible ? undefined : met),
    formula: impossible
      ? `A ${what} that takes ${millimetresText(clampMaxMm)} does not go into a hole of ${millimetresText(entry.holeMm)}: one of the two figures is wrong.`
      : known
        ? `The cable’s outside diameter lies ${met ? 'within' : 'outside'} what the ${what} takes.`
        : `What the ${what} takes is not given, so the fit is not known.`,
    sources: [strain],
    mend: impossible
      ? `Measure the hole and the ${what} again, and enter both.`
      : `Use a ${what} that takes ${millimetresText(od)}, and enter its range.`,
  });
}

function firstSupport(circuit: Circuit): SheetLine {
  const { cable } = circuit;
  const bare = boxesWithoutClamp(circuit).length > 0;
  const most = bare ? buildLimits.supportFromUnclampedBox : buildLimits.supportFromBox;
  return entryLine('support-box', 'First support from a box', {
    value: metresText(cable.supportFromBoxM),
    limit: `at most ${metresText(most.value)}`,
    verdict: verdictOf(withinMost(cable.supportFromBoxM, most.value)),
    formula: bare
      ? 'A plastic box here has no clamp inside.'
      : 'Every box holds the cable by a clamp or connector.',
    sources: [most.source],
    mend: 'Put the first support nearer to the box.',
  });
}

function spacing({ cable }: Circuit): SheetLine {
  const most = buildLimits.supportSpacing;
  return entryLine('support-spacing', 'Between supports', {
    value: metresText(cable.supportSpacingM),
    limit: `at most ${metresText(most.value)}`,
    verdict: verdictOf(withinMost(cable.supportSpacingM, most.value)),
    formula: 'The largest gap between two supports.',
    sources: [most.source],
    mend: 'Add supports.',
  });
}

function spacingShaken({ cable }: Circuit): SheetLine {
  const most = buildLimits.supportSpacingBoat;
  const met = withinMost(cable.supportSpacingM, most.value);
  return entryLine('support-shaken', 'Between supports, as boats do', {
    value: metresText(cable.supportSpacingM),
    limit: `at most ${metresText(most.value)}, advised`,
    verdict: 'note',
    formula: `A van shakes: boat practice holds a cable every ${metresText(most.value)}. This run is ${met ? 'held that closely' : 'held less closely'}.`,
    sources: [most.source],
    mend: '',
  });
}

function bend(circuit: Circuit): SheetLine {
  const { cable } = circuit;
  const { value: diameters, source } = buildLimits.bendDiameters;
  const od = thickestDiameterMm(circuit);
  const least = diameters * od;
  return entryLine('bend', 'Tightest bend', {
    value: `${millimetresText(cable.bendRadiusMm)} radius`,
    limit: `at least ${millimetresText(least)}`,
    verdict: verdictOf(withinMost(least, cable.bendRadiusMm)),
    formula: `${diameters} × ${millimetresText(od)} outside diameter.`,
    sources: [source],
    mend: 'Bend it wider.',
  });
}
