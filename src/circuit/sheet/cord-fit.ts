import { buildLimits } from '../../trade/build-limits.js';
import { cordAmpacity, cordRow } from '../../trade/cord-ampacity.js';
import { cordGuidance, guidedCordAwg } from '../../trade/cord-guidance.js';
import { commonPractice, judgement, type Source } from '../../trade/source.js';
import { designAmps } from '../allowed-set.js';
import type { Circuit } from '../circuit.js';
import { ampsText, gaugeText, metresText } from '../quantity-text.js';
import { linesIn, type SheetLine, verdictOf, withinMost } from '../sheet-line.js';
import { metresPerFoot } from '../units.js';

const cordLine = linesIn('cord');

const cordTypes: Source = { publication: 'NEC', clause: 'Table 400.4', sure: 'C' };

/** Whether the cord carries the inlet's amperes, reaches, and may lie outdoors. */
export function cordLines(circuit: Circuit): SheetLine[] {
  return [carries(circuit), reaches(circuit), outdoors(circuit), groundPin(), guidance(circuit)];
}

/** Like the wire behind the inlet, the cord lies ahead of the van's breaker: it is held to the inlet's rating too. */
function carries({ cord, breaker, inlet }: Circuit): SheetLine {
  const row = cordRow(cord.awg);
  const larger = inlet.amps > breaker.amps;
  const least = larger ? inlet.amps : breaker.amps;
  return cordLine('ampacity', 'What the cord carries', {
    value: row ? `${row.twoCarrying} A at ${gaugeText(cord.awg)}` : 'no figure at hand',
    limit: `at least ${least} A (${larger ? 'the inlet' : 'the van’s breaker'})`,
    verdict: verdictOf(row && row.twoCarrying >= least),
    formula: `Three-wire cord with two conductors carrying current, ${gaugeText(cord.awg)}, in air of 30 °C.${
      larger
        ? ` It lies ahead of the van’s breaker: only the supply’s protects it, and that may be as large as the inlet, ${inlet.amps} A.`
        : ''
    }`,
    sources: row ? [row.source] : [cordAmpacity.source],
    mend: 'Use a thicker cord.',
  });
}

function reaches({ cord, inlet, vehicleUse }: Circuit): SheetLine {
  const rear = inlet.side === 'rear' || inlet.side === 'rear-left';
  const least = rear ? buildLimits.cordRearEntry : buildLimits.cordSideEntry;
  const met = withinMost(least.value, cord.lengthM);
  const high = !withinMost(inlet.heightM, buildLimits.cordHighEntry.value);
  return cordLine('length', 'Length of the cord', {
    value: metresText(cord.lengthM),
    limit: `at least ${least.value} m (${rear ? 30 : 25} ft) with the inlet at the ${rear ? 'rear' : 'side'}`,
    verdict: met || vehicleUse === 'living-quarters' ? verdictOf(met) : 'note',
    formula: `The cord that belongs to the van reaches from the inlet to the supply in one piece, uncoiled.${
      high
        ? ` The inlet is over ${metresText(buildLimits.cordHighEntry.value)} above the ground: the cord wants to be longer (from memory).`
        : ''
    }${met || vehicleUse === 'living-quarters' ? '' : ' The rule is for living quarters: say why this cord is shorter.'}`,
    sources: [least.source],
    mend: 'Use a longer cord, in one piece.',
    figures: { lengthM: cord.lengthM },
  });
}

function outdoors({ cord }: Circuit): SheetLine {
  const letters = cord.typeLetters;
  const hard = /^SJ?[ET]?O{0,2}W?$/.test(letters);
  return cordLine('type', 'Jacket of the cord', {
    value: letters,
    limit: 'hard service (S… or SJ…) and marked W for outdoors',
    verdict: verdictOf(hard && letters.endsWith('W')),
    formula: hard
      ? `${letters} is a jacketed cord for ${letters.startsWith('SJ') ? 'hard' : 'extra hard'} service${letters.endsWith('W') ? ', and W says that it may lie outdoors' : '; without W it may not lie outdoors'}.`
      : `${letters} is not among the hard-service types that begin with S or SJ.`,
    sources: [cordTypes],
    mend: 'Use a cord whose jacket says a hard-service type with W, for instance SJTW or STW.',
  });
}

function groundPin(): SheetLine {
  return cordLine('ground-pin', 'Ground pin and ends of the cord', {
    value: 'proven in the dead tests',
    limit: 'ground pin whole; pins at one end only',
    verdict: 'note',
    formula:
      'Three conductors, each through and on its own pin. A missing ground pin or pins at both ends are never conceded.',
    sources: [judgement],
    mend: '',
    concession: 'never',
  });
}

function guidance(circuit: Circuit): SheetLine {
  const amps = designAmps(circuit);
  const advised = guidedCordAwg(amps, circuit.cord.lengthM / metresPerFoot - 1e-9);
  return cordLine('guidance', 'What tool makers advise', {
    value: gaugeText(circuit.cord.awg),
    limit: advised === undefined ? 'no cord of this length' : `${gaugeText(advised)} or thicker`,
    verdict: 'note',
    formula: `For ${ampsText(amps)} over ${metresText(circuit.cord.lengthM)} the makers’ tables give ${
      advised === undefined ? 'no cord at all' : gaugeText(advised)
    }; guidance, no rule.`,
    sources: [cordGuidance.source, commonPractice],
    mend: '',
  });
}
