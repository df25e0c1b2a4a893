import { conductorVolume, fillRules } from '../../trade/box-volume.js';
import { rvClause } from '../../trade/rv-clauses.js';
import { judgement, type Source } from '../../trade/source.js';
import { type BoxContents, type BoxFill, boxFill } from '../box-fill.js';
import type { Circuit, Outlet } from '../circuit.js';
import { inletAwg } from '../inlet-wire.js';
import { millimetresText, volumeText } from '../quantity-text.js';
import { notJudged, type SheetLine, verdictOf, withinMost } from '../sheet-line.js';
import { cm3PerCubicInch } from '../units.js';

type Box = Outlet['box'];

interface BoxSubject {
  readonly id: string;
  readonly title: string;
  readonly contents: BoxContents;
  readonly sources: readonly Source[];
  readonly outlet?: string;
}

/** Whether every conductor fits its box: inlet, breaker and each outlet. */
export function boxLines(circuit: Circuit): SheetLine[] {
  return [
    ...inletBox(circuit),
    ...breakerBox(circuit),
    ...circuit.run.flatMap((o, k) => outletBox(circuit, o, k)),
  ];
}

function inletBox(circuit: Circuit): SheetLine[] {
  const { inlet, bond } = circuit;
  const awg = inletAwg(circuit);
  if (!inlet.box) return [noBox('inlet', 'Box of the inlet', 'the inlet’s own housing, as its maker says')];
  return boxOf(inlet.box, {
    id: 'inlet',
    title: 'Box of the inlet',
    sources: [{ ...judgement, note: 'the inlet counted as one device' }],
    contents: {
      conductors: [awg, awg],
      grounds: [awg, bond.awg],
      devices: [awg],
      internalClamps: inlet.box.clamps === 'internal',
    },
  });
}

function breakerBox(circuit: Circuit): SheetLine[] {
  const { breaker, run } = circuit;
  const [comes, goes] = [inletAwg(circuit), run[0]!.feed.awg];
  if (!breaker.box)
    return [noBox('breaker', 'Box of the breaker', 'an enclosure made for it, as its maker says')];
  return boxOf(breaker.box, {
    id: 'breaker',
    title: 'Box of the breaker',
    sources: [{ ...judgement, note: 'the breaker counted as one device' }],
    contents: {
      conductors: [comes, comes, goes, goes],
      grounds: [comes, goes],
      devices: [Math.min(comes, goes)],
      internalClamps: breaker.box.clamps === 'internal',
    },
  });
}

function outletBox({ run }: Circuit, outlet: Outlet, k: number): SheetLine[] {
  const feeds = [outlet.feed.awg, ...(run[k + 1] ? [run[k + 1]!.feed.awg] : [])];
  return boxOf(outlet.box, {
    id: outlet.id,
    title: `Box at ${outlet.place}`,
    sources: [],
    outlet: outlet.id,
    contents: {
      conductors: feeds.flatMap((awg) => [awg, awg]),
      grounds: feeds,
      devices: [Math.min(...feeds)],
      internalClamps: outlet.box.clamps === 'internal',
    },
  });
}

function boxOf(box: Box, subject: BoxSubject): SheetLine[] {
  const fill = boxFill(subject.contents);
  const outlet = subject.outlet === undefined ? {} : { outlet: subject.outlet };
  return [
    fillLine(box, subject, fill),
    ...(box.material === 'plastic' ? [plasticLine(subject, outlet)] : []),
    ...(subject.outlet === undefined ? [] : [depthLine(box, subject, outlet)]),
  ];
}

function fillLine(box: Box, subject: BoxSubject, fill: BoxFill | undefined): SheetLine {
  const needed = fill && fill.cubicInches * cm3PerCubicInch;
  return {
    id: `box.fill.${subject.id}`,
    group: 'boxes',
    title: subject.title,
    value: needed === undefined ? 'no figure at hand' : volumeText(needed),
    limit: `at most ${volumeText(box.volumeCm3)}`,
    verdict: verdictOf(needed === undefined ? undefined : withinMost(needed, box.volumeCm3)),
    formula: fill
      ? `${fill.parts.map((p) => `${p.text} = ${volumeText(p.cubicInches * cm3PerCubicInch)}`).join('; ')}. Pigtails are not counted.`
      : 'A conductor here has no allowance in the table.',
    sources: [fillRules.source, conductorVolume.source, ...subject.sources],
    concession: 'named-person',
    mend: 'Use a larger box, or connectors outside it in place of clamps inside.',
    ...(subject.outlet === undefined ? {} : { outlet: subject.outlet }),
    figures: {
      availableCubicInches: box.volumeCm3 / cm3PerCubicInch,
      ...(fill ? { cubicInches: fill.cubicInches } : {}),
    },
  };
}

function plasticLine(subject: BoxSubject, outlet: { outlet?: string }): SheetLine {
  return {
    id: `box.plastic.${subject.id}`,
    group: 'boxes',
    title: `${subject.title}: plastic`,
    value: 'plastic',
    limit: 'with nonmetallic cable or raceway only',
    verdict: 'note',
    formula: 'A plastic box goes with nonmetallic cable or raceway; its volume is the one stamped in it.',
    sources: [rvClause('551.47(C)')!.source],
    concession: 'named-person',
    mend: '',
    ...outlet,
  };
}

function depthLine(box: Box, subject: BoxSubject, outlet: { outlet?: string }): SheetLine {
  return {
    id: `box.depth.${subject.id}`,
    group: 'boxes',
    title: `${subject.title}: depth`,
    value: box.depthMm === undefined ? 'not given' : millimetresText(box.depthMm),
    limit: 'the device with its wires folded behind it',
    verdict: 'note',
    formula: 'Hold the device in the box before cutting; a ground-fault device is deep.',
    sources: [judgement],
    concession: 'named-person',
    mend: '',
    ...outlet,
  };
}

function noBox(id: string, title: string, value: string): SheetLine {
  return {
    id: `box.fill.${id}`,
    group: 'boxes',
    title,
    value,
    limit: notJudged,
    verdict: 'note',
    formula: 'No box is given for it, so nothing is counted.',
    sources: [fillRules.source],
    concession: 'named-person',
    mend: '',
  };
}
