import { buildLimits } from '../../trade/build-limits.js';
import { rvClause } from '../../trade/rv-clauses.js';
import { commonPractice } from '../../trade/source.js';
import { type Circuit, words } from '../circuit.js';
import { metresText } from '../quantity-text.js';
import {
  linesIn,
  notJudged,
  type SheetLine,
  type SheetVerdict,
  verdictOf,
  withinMost,
} from '../sheet-line.js';

const inletLine = linesIn('inlet', 'never');

/** Where on the body the inlet sits. */
export function inletPlaceLines(circuit: Circuit): SheetLine[] {
  return [
    fromRear(circuit),
    side(circuit),
    height(circuit),
    pullOut(circuit),
    panel(circuit),
    label(circuit),
  ];
}

function fromRear({ inlet, vehicleUse }: Circuit): SheetLine {
  const most = buildLimits.inletFromRear;
  const met = withinMost(inlet.fromRearM, most.value);
  return inletLine('rear', 'From the rear', {
    value: metresText(inlet.fromRearM),
    limit: `at most ${metresText(most.value)}`,
    verdict: forLivingQuarters(vehicleUse, met),
    formula: 'Where supplies stand, a cord of ordinary length reaches an inlet near the rear.',
    sources: [most.source],
    concession: 'named-person',
    mend: 'Move the inlet towards the rear, or say why here, with a longer cord.',
  });
}

function side({ inlet, vehicleUse }: Circuit): SheetLine {
  const usual = inlet.side === 'left' || inlet.side === 'rear-left';
  return inletLine('side', 'Side', {
    value: words.side[inlet.side],
    limit: 'left, or rear left of centre',
    verdict: usual ? 'pass' : vehicleUse === 'living-quarters' ? 'unproven' : 'note',
    formula: whySide(inlet.side),
    sources: [rvClause('551.46(E)')!.source],
    concession: 'named-person',
    mend: 'Move the inlet to the left side, or left of centre at the rear, or let a named person say why here.',
  });
}

function whySide(side: Circuit['inlet']['side']): string {
  const right = 'The side that supplies are made for.';
  if (side === 'left') return right;
  return side === 'rear-left'
    ? `${right} The rule, from memory, also has it within 0.46 m (18 in) of the outside wall: measure that.`
    : 'Supplies stand at the left rear. The rule for living quarters has exceptions that are known here from memory only.';
}

function height({ inlet }: Circuit): SheetLine {
  const most = buildLimits.inletHeight;
  return inletLine('height', 'Height', {
    value: metresText(inlet.heightM),
    limit: `at most ${metresText(most.value)} above the ground`,
    verdict: verdictOf(withinMost(inlet.heightM, most.value)),
    formula:
      'Low enough to plug in by hand. How low is too low for the spray of the wheels is not judged here: look at it on the vehicle.',
    sources: [most.source],
    concession: 'named-person',
    mend: 'Move the inlet lower.',
  });
}

function pullOut({ inlet }: Circuit): SheetLine {
  return inletLine('pull-out', 'A forgotten cord', {
    value: inlet.locking ? 'locking: does not pull out' : 'pulls straight out',
    limit: notJudged,
    verdict: 'note',
    formula: inlet.locking
      ? 'A locking or ringed inlet holds a forgotten cord: hang the tag on the steering wheel whenever it is in.'
      : 'Look that the cord hangs free and pulls straight out.',
    sources: [commonPractice],
    concession: 'named-person',
    mend: '',
  });
}

function panel({ inlet }: Circuit): SheetLine {
  return inletLine('panel', 'Panel and what is behind it', {
    value: `${words.panel[inlet.panel]}; behind it: ${inlet.behindPanel}`,
    limit: notJudged,
    verdict: 'note',
    formula:
      inlet.panel === 'trim-piece'
        ? 'A trim piece can be replaced; body metal cannot.'
        : 'A replaceable trim piece beats this panel where there is one. Look at both sides before the drill turns.',
    sources: [commonPractice],
    concession: 'named-person',
    mend: '',
  });
}

function label({ inlet }: Circuit): SheetLine {
  return inletLine('label', 'Label beside the inlet', {
    value: `120 V, 60 Hz, ${inlet.amps} A`,
    limit: notJudged,
    verdict: 'note',
    formula:
      'A label beside the inlet gives volts, hertz and amperes; its wording is known from memory only.',
    sources: [rvClause('551.46(D)')!.source],
    concession: 'named-person',
    mend: '',
  });
}

function forLivingQuarters(use: Circuit['vehicleUse'], met: boolean): SheetVerdict {
  return met || use === 'living-quarters' ? verdictOf(met) : 'note';
}
