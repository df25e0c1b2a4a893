import type { PublishedTable } from './published-table.js';
import { commonPractice, type Source } from './source.js';

/** A word of the trade in plain words. */
interface GlossaryWord {
  readonly word: string;
  /** How it stands in a sentence; in capitals only as written. A word without forms is looked up and never marked in a text. */
  readonly forms?: readonly string[];
  /** Phrases in which a form means something else: there it is left alone. */
  readonly not?: readonly string[];
  /** One or two plain sentences. */
  readonly meaning: string;
  /** Where what is said comes from; without one it is told as the trade commonly uses it. */
  readonly source?: Source;
}

const nec = (clause: string, sure: Source['sure']): Source => ({ publication: 'NEC', clause, sure });
const classA: Source = { publication: 'UL 943', clause: 'Class A', sure: 'A' };
const colours: Source = { publication: '24 CFR', clause: '3280.815', sure: 'A' };
const coach: Source = { publication: 'WAC', clause: '296-150C-1310', sure: 'A' };

/** The words that a fitter and an owner meet here, told in our own sentences. */
export const glossary: PublishedTable<GlossaryWord> = {
  title: 'Words of the trade',
  unit: 'words',
  source: commonPractice,
  rows: [
    {
      word: 'adapter',
      forms: ['adapter'],
      meaning:
        'A plug of one shape with a receptacle of another. It can put a 30 A supply behind a plug that was made for 15 A.',
    },
    {
      word: 'airbag',
      forms: ['airbag', 'airbags', 'curtain airbag', 'curtain airbags'],
      meaning:
        'A bag behind a pillar or the edge of the roof, blown up by a charge. A drill or stray current can set it off.',
      source: { publication: 'Car makers’ manuals', sure: 'B' },
    },
    {
      word: 'AWG',
      forms: ['AWG'],
      meaning: 'American wire gauge, the size of a wire. A smaller number is a thicker wire.',
      source: { publication: 'ASTM B258', sure: 'A' },
    },
    {
      word: 'authority',
      forms: ['authority having jurisdiction', 'authority'],
      meaning: 'The office or person whose word on the rules is last where you are.',
      source: nec('Article 100', 'C'),
    },
    {
      word: 'battery',
      forms: ['battery', 'batteries'],
      meaning: 'The van’s own store of 12 V. It seldom shocks, but it can start a fire.',
    },
    {
      word: 'binding screw',
      forms: ['binding screw', 'binding screws'],
      meaning: 'A screw that one wire is bent around, the way the screw turns. Turning it pulls the wire in.',
      source: nec('110.14(A)', 'A'),
    },
    {
      word: 'blade',
      forms: ['blade', 'blades'],
      meaning: 'A flat pin of a plug or of the inlet.',
    },
    {
      word: 'bond',
      forms: ['bond', 'bonded'],
      meaning:
        'A copper wire that ties the van’s body to the ground wire, 8 AWG or thicker. If a hot wire touches the body, the breaker can trip.',
      source: nec('551.56(C)', 'A'),
    },
    {
      word: 'bonding screw',
      forms: ['bonding screw', 'bonding strap', 'bonding screw or strap'],
      meaning:
        'A screw or strap that joins neutral to ground in a bought breaker box. In a van it is taken out and thrown away.',
      source: coach,
    },
    {
      word: 'box fill',
      forms: ['box fill'],
      meaning: 'How much room the wires and the device take in a box, against the room it has.',
      source: nec('314.16', 'A'),
    },
    {
      word: 'breaker',
      forms: ['breaker', 'breakers'],
      meaning:
        'A switch that opens by itself when too much current flows. It keeps the wire behind it from burning; it does not guard a person.',
      source: nec('240.4(D)', 'A'),
    },
    {
      word: 'breather',
      forms: ['breather'],
      meaning: 'A small screened opening that lets air and water out.',
    },
    {
      word: 'burr',
      forms: ['burr', 'burrs', 'deburr'],
      meaning: 'The sharp rim that a drill or saw leaves. To deburr is to take it off.',
    },
    { word: 'butyl', forms: ['butyl'], meaning: 'A soft sticky tape that seals and never sets hard.' },
    {
      word: 'CAT III',
      forms: ['CAT III'],
      meaning: 'A mark on meters and leads that are built for work on the wiring of a building.',
      source: { publication: 'IEC 61010', clause: 'measurement categories', sure: 'C' },
    },
    {
      word: 'chassis',
      forms: ['chassis'],
      meaning: 'The metal of the van itself: its frame and its body.',
    },
    {
      word: 'checker',
      forms: ['checker'],
      meaning: 'The person who looks again at what the fitter did, and signs for it.',
    },
    {
      word: 'clamp plate',
      forms: ['clamp plate', 'clamp plates'],
      meaning: 'A plate under a screw that presses on a straight wire. It suits strands.',
    },
    {
      word: 'concession',
      forms: ['concession', 'concessions', 'conceded'],
      meaning:
        'A named person lets one thing stand that misses its limit, and says why. Some things can never be let stand.',
    },
    {
      word: 'conductor',
      forms: ['conductor', 'conductors'],
      meaning: 'One wire of a cable or cord: hot, neutral or ground.',
    },
    {
      word: 'conduit',
      forms: ['conduit'],
      meaning: 'A pipe or bending tube that wires are drawn through.',
    },
    {
      word: 'connector',
      forms: ['connector'],
      meaning: 'The end of the cord that goes on the van’s inlet. It has slots, never pins.',
    },
    {
      word: 'contacts',
      forms: ['contacts'],
      meaning: 'The parts in a switch or a slot that touch to let current through.',
    },
    {
      word: 'continuity',
      forms: ['continuity'],
      meaning: 'A path for current from one end to the other, without a break.',
    },
    {
      word: 'cord',
      forms: ['cord'],
      not: ['flexible cord'],
      meaning: 'The lead from the supply to the inlet. It is no part of the van’s fixed wiring.',
    },
    {
      word: 'cord grip',
      forms: ['cord grip', 'cord grips'],
      meaning: 'A fitting that holds a cable where it goes through a wall, and seals around it.',
    },
    {
      word: 'crimp',
      forms: ['crimp', 'crimped'],
      meaning: 'To squeeze a metal end onto a wire with the tool made for it.',
    },
    {
      word: 'cure',
      forms: ['cure', 'cured'],
      meaning: 'To set through: what a sealant does in its hours, by its leaflet.',
    },
    {
      word: 'dead',
      meaning: 'Without voltage, and proven so with a meter that was tried before and after.',
      source: { publication: 'NFPA 70E', clause: '120.5(7)', sure: 'A' },
    },
    {
      word: 'dead short',
      forms: ['dead short'],
      meaning: 'Hot joined to neutral or ground with nothing between: the largest current there can be.',
    },
    {
      word: 'defect',
      forms: ['defect', 'defects'],
      meaning: 'Something found wrong. It stays open until it is mended and tested again.',
    },
    {
      word: 'device',
      meaning: 'A receptacle, a switch or a ground-fault device: what wires end on in a box.',
    },
    {
      word: 'drip loop',
      forms: ['drip loop', 'drip loops'],
      meaning: 'A low bend in a cable, so that water drops off before it reaches a box.',
    },
    {
      word: 'earth',
      forms: ['true earth', 'earth'],
      meaning:
        'The soil itself. A rod in damp soil, or a metal water pipe in it, stands for it when you measure.',
    },
    {
      word: 'extinguisher',
      meaning: 'For mains use the kinds ABC or CO₂, never water.',
    },
    {
      word: 'face',
      meaning: 'The front of a receptacle, where the slots are.',
    },
    {
      word: 'fail',
      meaning: 'Outside its limit, even with the meter’s error counted in its favour.',
    },
    {
      word: 'fault current',
      forms: ['fault current'],
      meaning:
        'What flows when hot touches ground or neutral. It must be large, so that the breaker trips fast.',
    },
    {
      word: 'feed',
      forms: ['FEED'],
      meaning:
        'The length of cable that brings power to an outlet. At a ground-fault device it lands on LINE.',
    },
    {
      word: 'fitter',
      forms: ['fitter'],
      meaning: 'The person who does the work and writes it down.',
    },
    {
      word: 'flange',
      forms: ['flange'],
      meaning: 'The flat rim of the inlet that lies on the van’s skin.',
    },
    {
      word: 'flexible cord',
      forms: ['flexible cord'],
      meaning: 'Soft cable made to be moved about. It may not be closed up in a wall.',
      source: nec('400.12', 'A'),
    },
    {
      word: 'gasket',
      forms: ['gasket', 'gaskets'],
      meaning: 'A soft ring or sheet between two parts that keeps water out.',
    },
    {
      word: 'ghost volts',
      forms: ['ghost volts'],
      meaning:
        'A voltage that a meter shows on a wire that nothing drives. It falls away when the wire is loaded a little.',
    },
    {
      word: 'grommet',
      forms: ['grommet', 'grommets'],
      meaning: 'A rubber ring that covers the whole edge of a hole, so that the metal cannot cut the cable.',
      source: nec('300.4(B)(1)', 'B'),
    },
    {
      word: 'ground',
      forms: ['ground wire', 'ground', 'grounds'],
      not: [
        'above the ground',
        'above ground',
        'wet ground',
        'dry ground',
        'at the ground where',
        'ground where you stand',
      ],
      meaning:
        'The green or bare wire. It carries current only when something is wrong, so that the breaker trips.',
      source: colours,
    },
    {
      word: 'ground-fault device',
      forms: ['ground-fault device', 'ground-fault devices', 'ground-fault protection', 'GFCI'],
      meaning:
        'It cuts the power when about 5 thousandths of an amp leak to ground, as through a person. It does not help between hot and neutral.',
      source: { ...classA, note: 'must trip from 6 mA on, and not below 4 mA' },
    },
    {
      word: 'handover',
      meaning:
        'The end of the job: the owner gets the record, the labels and the cord, and is shown what to do.',
    },
    {
      word: 'harness',
      forms: ['harness'],
      meaning: 'A bundle of the van maker’s own wires.',
    },
    {
      word: 'hold point',
      forms: ['hold point', 'hold points'],
      meaning: 'A step that bars what comes after it until it is done.',
    },
    {
      word: 'hot',
      forms: ['hot'],
      not: ['hot work', 'hot roof', 'hot skin', 'hottest'],
      meaning: 'The wire that is live against ground. It is mostly black, and lands on the brass screw.',
      source: nec('200.10, colours', 'B'),
    },
    {
      word: 'inlet',
      forms: ['inlet'],
      meaning:
        'The plug built into the van’s side that the cord goes on. With the cord out its pins must be dead.',
    },
    {
      word: 'insulation',
      forms: ['insulation'],
      meaning: 'The plastic around a wire. It keeps the current in.',
    },
    {
      word: 'insulation tester',
      forms: ['insulation tester'],
      meaning:
        'An instrument that puts 250 or 500 V on a wire to find weak insulation. It ruins electronics that are left on.',
      source: { publication: 'IEC 60364-6', sure: 'A' },
    },
    {
      word: 'inverter',
      forms: ['inverter', 'inverters'],
      meaning: 'A box that makes 120 V from the battery. It is a source of its own and can start by itself.',
    },
    {
      word: 'isolation',
      forms: ['isolation'],
      meaning:
        'That no current can pass between two wires that must stay apart. An ohmmeter finds joins; it does not test insulation.',
    },
    {
      word: 'jacket',
      forms: ['jacket'],
      meaning: 'The outer skin of a cable, around all of its wires.',
    },
    {
      word: 'join',
      forms: ['join'],
      not: ['without a join'],
      meaning:
        'A path between two wires that must stay apart. In the fault-finder’s words they are “joined”.',
    },
    {
      word: 'joint',
      forms: ['joint', 'poor joint'],
      not: ['its joint off'],
      meaning: 'Where a wire meets a screw, a wire or a blade. A poor one gets warm under load.',
    },
    {
      word: 'ladder of ratings',
      meaning:
        'The amps of supply, inlet, breaker, wire and receptacle, in order. Each must suit the ones beside it.',
      source: nec('240.4(D)', 'A'),
    },
    {
      word: 'leakage',
      forms: ['leaks', 'leakage'],
      meaning:
        'A little current that takes the way over ground. From about 5 thousandths of an amp the ground-fault device trips.',
      source: classA,
    },
    {
      word: 'limit',
      meaning: 'The line between pass and fail. It always says where it comes from.',
    },
    {
      word: 'LINE screws',
      forms: ['LINE'],
      meaning: 'The screws of a ground-fault device where the power comes in.',
    },
    {
      word: 'live',
      meaning: 'With voltage on it. It can kill.',
    },
    {
      word: 'LOAD screws',
      forms: ['LOAD'],
      meaning: 'The screws of a ground-fault device that feed what it guards.',
    },
    {
      word: 'load',
      forms: ['load', 'loads'],
      not: ['load left in'],
      meaning: 'What is plugged in and draws current: a lamp, a heater, a charger.',
    },
    {
      word: 'logbook',
      meaning: 'Every entry made on a job, in order. None is ever changed or taken out.',
    },
    {
      word: 'lost neutral',
      forms: ['lost neutral'],
      meaning:
        'The neutral is broken ahead of the device. Nothing runs, but hot is still there, and many ground-fault devices no longer trip.',
      source: { publication: 'UL 943', clause: 'receptacle types', sure: 'B' },
    },
    {
      word: 'low impedance',
      forms: ['low-impedance range', 'low impedance', 'low-impedance'],
      meaning:
        'A setting of a meter that loads the wire a little, so that ghost volts fall away. From hot to ground it trips a ground-fault device.',
      source: classA,
    },
    {
      word: 'machine screw',
      forms: ['machine screw'],
      meaning:
        'A screw with a fine, even thread for a nut or a tapped hole. It does not work loose as a sheet-metal screw does.',
      source: nec('250.8', 'A'),
    },
    {
      word: 'neutral',
      forms: ['neutral'],
      meaning:
        'The white wire that takes the current back. It lands on the silver screw, and in the van it stays apart from ground.',
      source: colours,
    },
    {
      word: 'neutral bar',
      forms: ['neutral bar', 'insulated neutral bar', 'ground bar'],
      meaning:
        'A metal bar with screws where all the neutrals of a box land, or all its grounds. The neutral bar stands on insulation.',
      source: coach,
    },
    {
      word: 'non-contact tester',
      forms: ['non-contact tester'],
      meaning: 'A pen that glows near a live wire. A glow warns you; no glow proves nothing.',
    },
    {
      word: 'noted',
      meaning: 'Written down, and judged by no limit.',
    },
    {
      word: 'null',
      forms: ['null', 'nulled'],
      meaning:
        'To take the ohms of the leads off a reading: touch the tips together, then set the meter to zero.',
    },
    {
      word: 'OL',
      forms: ['OL'],
      meaning:
        'Over limit: more ohms than the meter’s range can show. On a small range that may still be a path.',
    },
    {
      word: 'open',
      meaning: 'Broken, as a wire is: no current can pass. Of a step or a defect: not done yet.',
    },
    {
      word: 'outlet',
      forms: ['outlet', 'outlets'],
      meaning: 'A place in the van to plug something in: its box and its receptacle.',
    },
    { word: 'owner', meaning: 'The person whose van it is, and who will plug it in.' },
    {
      word: 'pass',
      meaning: 'Within its limit, with the meter’s error counted against it.',
    },
    {
      word: 'pedestal',
      forms: ['pedestal'],
      meaning: 'The post at a camp site with receptacles and breakers on it.',
    },
    {
      word: 'pigtail',
      forms: ['pigtail', 'pigtails'],
      meaning:
        'A short wire from a splice to a screw. With it a device can come out and the others stay joined.',
      source: nec('250.148', 'A'),
    },
    {
      word: 'pilot',
      forms: ['pilot'],
      meaning: 'A small first hole that shows where the large one would come out.',
    },
    {
      word: 'polarity',
      forms: ['polarity'],
      meaning: 'That hot is on hot’s screw and neutral on neutral’s, all the way.',
    },
    {
      word: 'pole',
      forms: ['pole', 'poles'],
      meaning: 'Hot or neutral: one of the two wires that carry the current.',
    },
    {
      word: 'push-in',
      forms: ['push-in', 'push-in hole'],
      meaning: 'A hole in the back of a device that holds a wire by a spring alone. It is never used here.',
    },
    {
      word: 'reading',
      meaning: 'What a meter showed between two points, written down with the meter’s name.',
    },
    {
      word: 'receptacle',
      forms: ['receptacle', 'receptacles'],
      meaning: 'The device with the slots that a plug goes into.',
    },
    {
      word: 'record',
      meaning:
        'The signed PDF at the end. It says what was tested, by whom and with what, and is no approval.',
    },
    {
      word: 'relay',
      forms: ['transfer relay', 'relay'],
      meaning: 'A switch that is moved by current, not by hand.',
    },
    {
      word: 'resistive load',
      forms: ['resistive load'],
      meaning:
        'A load that only makes heat, as a plain heater does. Its amps stay the same, so it suits a test.',
    },
    {
      word: 'rework',
      forms: ['rework', 'reworked'],
      meaning: 'The mending of a defect. What it disturbed is tested again.',
    },
    {
      word: 'run',
      forms: ['RUN', 'the run'],
      meaning:
        'The outlets and the cable between them, in order. At a ground-fault device the cable that goes on is the run.',
    },
    {
      word: 'sealant',
      forms: ['sealant'],
      meaning: 'Paste that keeps water out of a joint. It must suit the paint or plastic that it sits on.',
    },
    {
      word: 'sheet',
      meaning: 'What is worked out before anything is cut: loads, wire, cord, boxes and the drop.',
    },
    {
      word: 'shorting plug',
      forms: ['shorting plug', 'shorting plugs', 'jumpers'],
      meaning: 'A plug or wire that joins two wires for a test. Left in, it is a dead short.',
    },
    {
      word: 'shrouded',
      forms: ['shrouded tips', 'shrouded'],
      meaning: 'Covered almost to the tip, so that a finger or a slip touches no metal.',
    },
    {
      word: 'shutter',
      forms: ['shutter', 'shutters', 'shuttered'],
      meaning:
        'A flap in a slot that opens only when two blades go in together. One probe alone touches nothing.',
    },
    {
      word: 'skin',
      forms: ['skin'],
      meaning: 'The van’s outer metal.',
    },
    {
      word: 'solid',
      forms: ['solid'],
      meaning: 'A wire made of one thick strand. It tires and breaks when it is shaken.',
    },
    { word: 'splice', forms: ['splice', 'splices'], meaning: 'A joint of wires inside a box.' },
    {
      word: 'strain relief',
      forms: ['strain relief'],
      meaning: 'A clamp that holds the jacket, so that a pull on the cable never reaches the screws.',
      source: nec('400.14, 314.17(C)', 'A'),
    },
    {
      word: 'strand',
      forms: ['strand', 'strands', 'stranded'],
      meaning: 'One of the thin wires that make up a wire that bends well.',
    },
    {
      word: 'supply',
      forms: ['supply'],
      not: ['supply side'],
      meaning: 'What the cord is plugged into: the receptacle of a house, a post or a generator.',
    },
    {
      word: 'surge protector',
      forms: ['surge protector'],
      meaning:
        'A device that takes the peaks off the voltage. It is taken out for dead tests, since it shows as a path.',
    },
    {
      word: 'exchanged',
      forms: ['exchanged'],
      not: ['probes exchanged'],
      meaning: 'Two wires are on each other’s screw.',
    },
    {
      word: 'terminal',
      forms: ['terminal', 'terminals'],
      meaning:
        'The screw or clamp on a device where a wire lands. It takes one wire unless it is marked for more.',
      source: nec('110.14(A)', 'A'),
    },
    {
      word: 'TEST and RESET',
      forms: ['TEST', 'RESET'],
      meaning:
        'The two buttons of a ground-fault device. TEST must make every outlet behind it dead; RESET brings it back.',
    },
    {
      word: 'test plug',
      forms: ['test plug'],
      meaning:
        'A plug with three leads brought out, so that a meter reaches each slot and the shutters open.',
    },
    {
      word: 'torque',
      forms: ['torque', 'torqued'],
      meaning: 'How hard a screw is turned. The figure is marked on the device or in its leaflet.',
      source: nec('110.14(D)', 'A'),
    },
    {
      word: 'torque screwdriver',
      forms: ['torque screwdriver'],
      meaning: 'A screwdriver that slips or clicks at the torque you set.',
    },
    {
      word: 'transfer switch',
      forms: ['transfer switch'],
      meaning: 'A switch that lets one source in and cuts the other off, so that two never meet.',
    },
    {
      word: 'trim',
      forms: ['trim', 'trim piece'],
      meaning: 'The panels and pieces that cover the van’s metal and can be bought again.',
    },
    {
      word: 'tug',
      forms: ['tug', 'tugged', 'tugs'],
      meaning: 'A firm pull on one wire after its screw is tight. It must not move.',
    },
    {
      word: 'unproven',
      meaning: 'Not known well enough to say pass or fail. It never counts as a pass.',
    },
    {
      word: 'voltage drop',
      forms: ['voltage drop', 'drop'],
      meaning:
        'The volts that are lost on the way when a load is on. They turn to heat in the wire and its joints.',
      source: nec('210.19, note', 'A'),
    },
    {
      word: 'wander lead',
      forms: ['wander lead'],
      meaning: 'A long test wire, so that the meter reaches from one end of the van to the other.',
    },
    {
      word: 'weep hole',
      forms: ['weep hole', 'weep holes'],
      meaning: 'A small hole that lets water out of the inlet. It is never sealed.',
    },
    {
      word: 'witness',
      meaning: 'A second person who was there and saw it done.',
    },
  ],
};

/** The words that an owner meets on page one of a record and in the owner's sentences. */
const ownersWords = [
  'authority',
  'breaker',
  'concession',
  'cord',
  'ground',
  'ground-fault device',
  'hot',
  'inlet',
  'inverter',
  'isolation',
  'lost neutral',
  'neutral',
  'outlet',
  'receptacle',
  'supply',
  'TEST and RESET',
  'unproven',
];

/** Each of them with its meaning, as one line. */
export const ownersGlossary: readonly string[] = glossary.rows
  .filter(({ word }) => ownersWords.includes(word))
  .map(({ word, meaning }) => `${word}: ${meaning}`);

/** The name of a word's place on the glossary's page: "ground-fault-device". */
export function glossaryId(word: string): string {
  return word.toLowerCase().replace(/[^a-z0-9]+/g, '-');
}
