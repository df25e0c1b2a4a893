import { judgement, type Source } from './source.js';

export interface Caution {
  readonly text: string;
  readonly source: Source;
}

const law: Source = { publication: 'NEC', clause: '90.4 in sense', sure: 'C' };
const class943: Source = { publication: 'UL 943', clause: 'class A devices', sure: 'A' };
const workplace: Source = { publication: 'NFPA 70E', clause: '120.5(7)', sure: 'A' };

/** The standing cautions, by id; said wherever energy is. */
export const cautions = {
  'mains-kills': { text: 'Mains voltage kills, through one hand and in wet shoes too.', source: judgement },
  'work-dead': {
    text: 'Work dead, and prove it dead: try the meter on a known live source, test, try the meter again.',
    source: workplace,
  },
  'local-rules-first': {
    text: 'Local rules and the authority having jurisdiction come first; where they differ from this page, follow them.',
    source: law,
  },
  'licensed-electrician': {
    text: 'Where the law asks for a licensed electrician or a permit, this tool replaces neither.',
    source: law,
  },
  'gfci-limits': {
    text: 'A ground-fault device does not protect between hot and neutral, nor against a ground wire that comes live from the supply, nor when the neutral ahead of it is lost.',
    source: class943,
  },
  'no-supply-within-reach': {
    text: 'Until the live tests: no supply within reach of the inlet, the inlet capped and tagged, and no plugging in for a drill.',
    source: judgement,
  },
  'live-helper': {
    text: 'Never take live readings alone where it can be helped: a second person stands at the plug, knows how to pull it and knows not to touch you.',
    source: judgement,
  },
  'live-weather': {
    text: 'No live test in rain or on wet ground where you stand, unless both are under cover.',
    source: judgement,
  },
  'live-hands': {
    text: 'No rings or watch, dry shoes, leads rated CAT III with shrouded tips; probe at slots, never at a live terminal.',
    source: judgement,
  },
  'skin-untouched': {
    text: 'Touch no metal of the van before the reading from chassis to earth has been taken.',
    source: { publication: 'Trade authors on recreational vehicles', sure: 'B' },
  },
  'one-try': {
    text: 'One try. If it will not hold, unplug and test dead; never hold a breaker or a RESET button in.',
    source: judgement,
  },
  'supply-voltage': {
    text: 'Measure the supply before the cord goes in. Over 132 V or under 104 V: do not plug in; a 30 A outlet may have been wired for 240 V.',
    source: { publication: 'ANSI C84.1', clause: 'range B', sure: 'A', note: '132 V from memory' },
  },
  'plug-out-first': {
    text: 'Before any box is opened: the plug out at the supply, the cord out of the van and with you.',
    source: judgement,
  },
  'other-source-off': {
    text: 'The cord out does not stop a source that can start by itself. Switch every inverter and generator off at its own disconnect.',
    source: { publication: '29 CFR 1910.147', clause: 'cord and plug', sure: 'A' },
  },
  'inlet-pins': {
    text: 'The pins of the inlet must never be live with the cord out: no second source may reach them.',
    source: { publication: 'NEC', clause: '551.30', sure: 'C' },
  },
  'no-double-ended-lead': { text: 'Never make or use a lead with pins at both ends.', source: judgement },
  'one-bond': {
    text: 'Neutral and ground are joined once, at the source that feeds at that moment; never in the van by a screw, strap or plug.',
    source: { publication: 'WAC 296-150C-1310', sure: 'A' },
  },
  'breaker-behind': {
    text: 'The van’s breaker protects only what is behind it; the inlet and the wire up to it hang on the supply’s breaker.',
    source: { publication: 'NEC', clause: '240.21 in sense', sure: 'C' },
  },
  'surge-delay': {
    text: 'A surge protector on the way may wait up to three minutes before it lets the volts through: what looks dead until then comes alive by itself.',
    source: { publication: 'Trade practice on surge protectors', clause: '15 s to 3 min', sure: 'C' },
  },
  'low-impedance-trips': {
    text: 'Never read hot to ground with a low-impedance range behind a ground-fault device: it trips it, and that trip is no fault.',
    source: class943,
  },
  shutters: {
    text: 'Shuttered slots open only to two blades together: a single probe touches nothing and reads dead. Use a test plug.',
    source: judgement,
  },
  'insulation-tester': {
    text: 'Nothing is connected while an insulation tester is used, nobody touches the cable, and it is discharged afterwards.',
    source: { publication: 'IEC 60364-6', sure: 'A' },
  },
  'drill-van-dead': {
    text: 'Before drilling: key away, battery negative off, other batteries and solar off. Then wait as long as the van maker says for its airbags.',
    source: { publication: 'Van makers’ manuals', sure: 'B' },
  },
  'drill-high-voltage': {
    text: 'Orange cables mean a hybrid or an electric van: stop and follow its maker.',
    source: { publication: 'Van makers’ manuals', sure: 'B' },
  },
  'drill-both-sides': {
    text: 'Look at both sides before the drill turns, with a stop on the bit and someone watching inside.',
    source: judgement,
  },
  'cutting-guards': {
    text: 'Eyes, ears and hands guarded; foam, dust and primer burn: an extinguisher within reach and the doors open.',
    source: judgement,
  },
  'removal-count': {
    text: 'One clip left in place is a dead short: count what was put on, count what came off.',
    source: judgement,
  },
  'heat-near-paper': {
    text: 'Anything with heat stands away from paper, bedding and solvent, and is off when nobody is there.',
    source: judgement,
  },
  'generator-outdoors': {
    text: 'A generator runs outdoors only, 6 m (20 ft) or more from any opening: its exhaust kills.',
    source: { publication: 'Public-health guidance on carbon monoxide', sure: 'C' },
  },
  'no-approval': {
    text: 'This is a record of what was checked, by whom and with what. It is no approval.',
    source: judgement,
  },
} as const satisfies Record<string, Caution>;

export type CautionId = keyof typeof cautions;

/** Said at every energised step and on the first page of every record. */
export const standingCautions: readonly CautionId[] = [
  'mains-kills',
  'work-dead',
  'local-rules-first',
  'licensed-electrician',
  'gfci-limits',
];
