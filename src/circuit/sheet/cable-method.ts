import { judgement, type Source } from '../../trade/source.js';
import { type Circuit, type Outlet, words } from '../circuit.js';
import { gaugeText, torqueText } from '../quantity-text.js';
import { linesIn, notJudged, type OwnWords, type SheetLine, type SheetVerdict } from '../sheet-line.js';

const methodLine = linesIn('method', 'never');

const flexibleCord: Source = { publication: 'NEC', clause: '400.12', sure: 'A' };
const boat: Source = {
  publication: 'ABYC E-11',
  clause: 'stranded conductors; no wiring method of NEC Chapter 3',
  sure: 'B',
};
const terminations: Source = { publication: 'NEC', clause: '110.14(A)', sure: 'A' };
const pushIn: Source = {
  publication: 'Receptacle makers’ leaflets',
  clause: 'push-in terminals take 14 AWG',
  sure: 'A',
};
/** The thickest conductor that the binding screw of a receptacle takes, AWG. */
const thickestAtReceptacle = 10;
const bindingScrew: Source = {
  publication: 'NEC',
  clause: '110.14(A)',
  sure: 'A',
  note: 'binding screws for 10 AWG or smaller',
};
const torque: Source = { publication: 'NEC', clause: '110.14(D)', sure: 'A' };

/** Whether the cable may be in a wall, and whether each device's terminals take its strands. */
export function cableMethodLines(circuit: Circuit): SheetLine[] {
  return [method(circuit), strands(circuit), ...circuit.run.flatMap((o) => terminalLines(circuit, o))];
}

function method({ cable }: Circuit): SheetLine {
  const verdict: SheetVerdict =
    cable.method === 'flexible-cord' ? 'fail' : cable.method === 'boat-cable' ? 'unproven' : 'pass';
  return methodLine('cable', 'Kind of cable', {
    value: words.cableMethod[cable.method],
    limit: 'a cable that may be inside a wall',
    verdict,
    formula:
      verdict === 'fail'
        ? 'Flexible cord is no fixed wiring: inside walls it is refused.'
        : verdict === 'unproven'
          ? 'Boat cable stands vibration well, but it is no wiring method of the building code: the authority decides.'
          : 'A wiring method for inside walls; the print on the jacket shows it.',
    sources: [flexibleCord, ...(cable.method === 'boat-cable' ? [boat] : [])],
    concession: verdict === 'fail' ? 'never' : 'named-person',
    mend: 'Use stranded building wire in flexible conduit, or a stranded cable listed for use in walls.',
  });
}

function strands({ cable }: Circuit): SheetLine {
  const saysSolid = cable.method === 'nonmetallic-solid';
  const saysStranded = cable.method === 'stranded-in-conduit' || cable.method === 'stranded-multiconductor';
  const agrees = !(saysSolid && cable.strands !== 'solid') && !(saysStranded && cable.strands === 'solid');
  return methodLine('strands', 'Strands', {
    value: words.strands[cable.strands],
    limit: agrees ? notJudged : `what "${words.cableMethod[cable.method]}" is made of`,
    verdict: agrees ? 'note' : 'unproven',
    formula: agrees
      ? cable.strands === 'solid'
        ? 'Solid conductors tire at their terminals when shaken: supports close to the boxes, nothing hanging on the devices, a tug at the re-check.'
        : 'Strands stand vibration; they settle under their screws, so look again after the first miles.'
      : `The cable is named "${words.cableMethod[cable.method]}" and its conductors "${words.strands[cable.strands]}": one of the two is wrong.`,
    sources: [judgement, boat],
    concession: 'named-person',
    mend: 'Read the print on the jacket and set the kind of cable and the strands to agree.',
  });
}

function terminalLines({ cable, run }: Circuit, outlet: Outlet): SheetLine[] {
  const behind = run[run.indexOf(outlet) + 1];
  // Both cables end on its screws: the feed and, where there is one, the run.
  const thickest = Math.min(outlet.feed.awg, behind?.feed.awg ?? outlet.feed.awg);
  return [
    methodLine(`terminals.${outlet.id}`, `Terminals at ${outlet.place}`, {
      value: `${words.terminals[outlet.terminals]}, ${gaugeText(thickest)} ${words.strands[cable.strands]}`,
      limit: 'a screw or plate that takes this size and these strands; no push-in',
      concession: 'named-person',
      outlet: outlet.id,
      ...terminalWords(outlet.terminals, thickest, cable.strands),
    }),
    methodLine(`torque.${outlet.id}`, `Torque marked at ${outlet.place}`, {
      value: outlet.torqueNm === undefined ? 'no marking' : torqueText(outlet.torqueNm),
      limit: notJudged,
      verdict: 'note',
      formula:
        outlet.torqueNm === undefined
          ? 'Without a marking on the device there is no figure to pass by: ask its maker.'
          : 'The figure marked on the device is what its screws are turned to.',
      sources: [torque],
      concession: 'named-person',
      mend: '',
      outlet: outlet.id,
    }),
  ];
}

type TerminalWords = Pick<OwnWords, 'verdict' | 'formula' | 'sources' | 'concession' | 'mend'>;

/** What is said of a device's terminals with wire of this size, AWG, and these strands. */
function terminalWords(
  terminals: Outlet['terminals'],
  awg: number,
  strands: Circuit['cable']['strands'],
): TerminalWords {
  const plate = terminals === 'clamp-plate';
  const finer = 'Use class B or C strands, or a terminal marked for finer ones.';
  if (terminals === 'push-in')
    return {
      verdict: 'fail',
      formula: 'Push-in terminals take 14 AWG only and hold by a spring: refused here.',
      sources: [pushIn, terminations],
      concession: 'never',
      mend: 'Use the screws or clamp plates of the device.',
    };
  if (awg < thickestAtReceptacle)
    return {
      // What a plate takes is its maker's to say; a screw takes no more.
      verdict: plate ? 'unproven' : 'fail',
      formula: `The screws of a receptacle take ${gaugeText(thickestAtReceptacle)} and thinner; a plate takes ${gaugeText(awg)} only where its maker marks it so.`,
      sources: [bindingScrew, terminations],
      mend: `Bring ${gaugeText(thickestAtReceptacle)} or thinner to the device, by a pigtail in a larger box or by thinner cable.`,
    };
  if (strands === 'fine')
    return {
      verdict: plate ? 'unproven' : 'fail',
      formula: 'Strands finer than class B or C need a terminal that its maker marks for them.',
      sources: [terminations],
      mend: finer,
    };
  return {
    verdict: 'pass',
    formula: plate
      ? 'A clamp plate tightened by its screw takes one conductor.'
      : 'A binding screw takes one conductor, wound clockwise; where the device allows stranded.',
    sources: [terminations],
    mend: finer,
  };
}
