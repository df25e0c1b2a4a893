import { rvClause } from '../../trade/rv-clauses.js';
import { judgement, type Source } from '../../trade/source.js';
import { type Circuit, words } from '../circuit.js';
import { linesIn, type SheetLine, type SheetVerdict, verdictOf } from '../sheet-line.js';

const deviceLine = linesIn('gfci', 'never');

const ul943: Source = { publication: 'UL 943', clause: 'self-test, since 29 June 2015', sure: 'A' };
const ul943Note: Source = { publication: 'UL 943', clause: 'note on open neutral', sure: 'B' };

/** The ground-fault device first behind the breaker, its own test, and what it does without its neutral. */
export function groundFaultLines(circuit: Circuit): SheetLine[] {
  return [
    first(circuit),
    ...secondDevice(circuit),
    ...(isFirst(circuit) ? [selfTest(circuit), openNeutral(circuit)] : []),
  ];
}

function isFirst({ run }: Circuit): boolean {
  return run[0]!.device === 'gfci-receptacle';
}

function first(circuit: Circuit): SheetLine {
  const outlet = circuit.run[0]!;
  return deviceLine('first', 'First behind the breaker', {
    value: `${words.deviceKind[outlet.device]} at ${outlet.place}`,
    limit: 'the ground-fault receptacle, with everything else on its LOAD',
    verdict: verdictOf(isFirst(circuit)),
    formula: 'Inlet, breaker, ground-fault device, then the run: no outlet, load or tap before it.',
    sources: [rvClause('551.40(C)')!.source, judgement],
    concession: 'never',
    mend: 'Make the first outlet the ground-fault receptacle.',
    outlet: outlet.id,
  });
}

function secondDevice({ run }: Circuit): SheetLine[] {
  const others = run.slice(1).filter((o) => o.device === 'gfci-receptacle');
  return others.map((o) =>
    deviceLine(`second.${o.id}`, `Another ground-fault device: ${o.place}`, {
      value: 'behind the first',
      limit: 'does no harm',
      verdict: 'note',
      formula:
        'Two in a row: either or both may trip, and the leakage of everything behind adds up in the first.',
      sources: [{ publication: 'UL 943', clause: 'class A devices', sure: 'A' }],
      concession: 'named-person',
      mend: '',
      outlet: o.id,
    }),
  );
}

function selfTest({ run }: Circuit): SheetLine {
  const outlet = run[0]!;
  return deviceLine('self-test', 'The device tests itself', {
    value: outlet.selfTest ? 'marked so' : 'not marked so',
    limit: 'marked as one that tests itself',
    verdict: verdictOf(outlet.selfTest),
    formula:
      'Devices made after 29 June 2015 test themselves and lock out when they fail; older stock is not for new work.',
    sources: [ul943],
    concession: 'named-person',
    mend: 'Use a device that is marked as testing itself.',
    outlet: outlet.id,
  });
}

function openNeutral({ run, vehicleUse }: Circuit): SheetLine {
  const outlet = run[0]!;
  const opens = outlet.openNeutral === 'opens';
  const lived = vehicleUse === 'living-quarters';
  const verdict: SheetVerdict = opens
    ? 'pass'
    : lived || outlet.openNeutral === 'unknown'
      ? 'unproven'
      : 'note';
  return deviceLine('open-neutral', 'When the neutral is lost', {
    value: words.openNeutral[outlet.openNeutral],
    limit: lived ? 'opens when the neutral is lost' : 'known, and said to the owner',
    verdict,
    formula: opens
      ? 'With the neutral lost ahead of it the device opens.'
      : 'With the neutral lost ahead of it a receptacle type may leave every slot hot and unprotected. For living quarters with one circuit the rule as we know it asks for a device that opens; a receptacle type does not.',
    sources: [rvClause('551.40(C)')!.source, ul943Note],
    concession: 'named-person',
    mend: 'Fit a device that opens when the neutral is lost, or let a named person decide, with the authority asked.',
    outlet: outlet.id,
  });
}
