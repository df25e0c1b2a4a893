import type { Limit } from './limit.js';
import { commonPractice, judgement, type Source } from './source.js';

const computed: Source = {
  publication: 'Judgement of this project',
  clause: 'arithmetic',
  sure: 'C',
  note: 'no standard',
};
const tradeAuthors: Source = {
  publication: 'Trade authors on recreational vehicles',
  sure: 'B',
  note: 'no standard',
};
const c84: Source = { publication: 'ANSI C84.1', sure: 'A' };
const dropNote: Source = {
  publication: 'NEC',
  clause: '210.19 and 215.2, informational notes',
  sure: 'A',
  note: 'recommended, not required',
};
const insulation: Source = {
  publication: 'IEC 60364-6',
  clause: 'insulation resistance at 500 V DC',
  sure: 'A',
};

/** The figures that readings are judged by; every one says where it comes from, "no source" included. */
export const readingLimits = {
  groundPath: {
    title: 'Inlet ground to any ground slot',
    value: 1,
    unit: 'Ω',
    source: commonPractice,
  },
  groundPathLook: {
    title: 'Ground path above what the circuit predicts',
    value: 0.2,
    unit: 'Ω',
    source: computed,
  },
  bond: {
    title: 'Inlet ground to the chassis',
    value: 1,
    unit: 'Ω',
    source: commonPractice,
  },
  bondLook: {
    title: 'Bond above what the circuit predicts',
    value: 0.1,
    unit: 'Ω',
    source: computed,
  },
  conductorLook: {
    title: 'Hot or neutral above what the circuit predicts',
    value: 0.2,
    unit: 'Ω',
    source: computed,
  },
  cordLook: {
    title: 'A conductor of the cord above what its length predicts',
    value: 0.1,
    unit: 'Ω',
    source: computed,
  },
  cordGround: {
    title: 'Ground of the cord, end to end',
    value: 1,
    unit: 'Ω',
    source: commonPractice,
  },
  through: {
    title: 'A conductor that is through at all, end to end',
    value: 1000,
    unit: 'Ω',
    source: { ...judgement, note: 'how good a joint is, is told by the ground paths and the drop' },
  },
  wiggleJump: {
    title: 'Jump of a reading while the cable is moved',
    value: 0.3,
    unit: 'Ω',
    source: commonPractice,
  },
  trimOnChange: {
    title: 'A ground or bond with the trim on against before',
    value: 0.1,
    unit: 'Ω',
    source: computed,
  },
  isolation: {
    title: 'Hot to ground and neutral to ground',
    value: 1e6,
    unit: 'Ω',
    source: {
      ...insulation,
      note: 'the value is borrowed: a multimeter finds joins, it tests no insulation',
    },
  },
  isolationWithElectronics: {
    title: 'Hot to neutral with electronics across it',
    value: 1000,
    unit: 'Ω',
    source: judgement,
  },
  insulationTest: {
    title: 'Bare cable at 500 V DC',
    value: 1e6,
    unit: 'Ω',
    source: insulation,
  },
  insulationNewLook: {
    title: 'New dry cable at 500 V DC',
    value: 2e7,
    unit: 'Ω',
    source: judgement,
  },
  strayVolts: {
    title: 'Volts between two points before ohms are taken there',
    value: 0.05,
    unit: 'V',
    source: commonPractice,
  },
  dead: {
    title: 'Absence of voltage',
    value: 1,
    unit: 'V',
    source: {
      publication: 'NFPA 70E',
      clause: '120.5(7) in sense',
      sure: 'A',
      note: 'the figure is common practice, no source',
    },
  },
  deadAfterTest: {
    title: 'A slot after the TEST button, low impedance',
    value: 5,
    unit: 'V',
    source: commonPractice,
  },
  deadWithLamp: {
    title: 'A slot after the TEST button, with a lamp across it',
    value: 30,
    unit: 'V',
    source: judgement,
  },
  slotShareOfSupply: {
    title: 'Hot to neutral and hot to ground, share of the supply',
    value: 0.9,
    unit: '',
    source: commonPractice,
  },
  neutralGround: {
    title: 'Neutral to ground at a slot',
    value: 5,
    unit: 'V',
    source: tradeAuthors,
  },
  neutralGroundLook: {
    title: 'Neutral to ground at a slot, no load',
    value: 2,
    unit: 'V',
    source: tradeAuthors,
  },
  slotAgainstSupplyLook: {
    title: 'A slot against the supply, no load',
    value: 2,
    unit: 'V',
    source: commonPractice,
  },
  hotGroundAgainstNeutralLook: {
    title: 'Hot to ground against hot to neutral at the supply',
    value: 2,
    unit: 'V',
    source: commonPractice,
  },
  cordEndAgainstSupplyLook: {
    title: 'The cord’s free end against the supply',
    value: 1,
    unit: 'V',
    source: commonPractice,
  },
  chassisToEarth: {
    title: 'Chassis to true earth',
    value: 10,
    unit: 'V',
    source: tradeAuthors,
  },
  chassisToEarthLook: {
    title: 'Chassis to true earth, look for the cause',
    value: 2,
    unit: 'V',
    source: tradeAuthors,
  },
  chassisToEarthUnplug: {
    title: 'Chassis to true earth, unplug at the supply',
    value: 5,
    unit: 'V',
    source: tradeAuthors,
  },
  supplyLow: {
    title: 'Supply, hot to neutral',
    value: 104,
    unit: 'V',
    source: { ...c84, clause: 'range B utilization' },
  },
  supplyHigh: {
    title: 'Supply, hot to neutral',
    value: 132,
    unit: 'V',
    source: { publication: 'Common practice', clause: '120 V and a tenth', sure: 'C' },
  },
  supplyGoodLow: {
    title: 'Supply, hot to neutral, good',
    value: 114,
    unit: 'V',
    source: c84,
  },
  supplyGoodHigh: {
    title: 'Supply, hot to neutral, good',
    value: 126,
    unit: 'V',
    source: c84,
  },
  supplyUsableLow: {
    title: 'Supply, hot to neutral, usable',
    value: 108,
    unit: 'V',
    source: c84,
  },
  supplyUsableHigh: {
    title: 'Supply, hot to neutral, usable',
    value: 127,
    unit: 'V',
    source: c84,
  },
  drop: {
    title: 'Voltage drop from the supply to an outlet',
    value: 5,
    unit: '%',
    source: dropNote,
  },
  dropVanAndCord: {
    title: 'Voltage drop in the cord and the van',
    value: 3,
    unit: '%',
    source: { ...judgement, clause: 'the drop that the van’s builder answers for' },
  },
  unexplainedLook: {
    title: 'Resistance that the drop speaks of beyond the predicted',
    value: 0.1,
    unit: 'Ω',
    source: computed,
  },
  unexplainedMend: {
    title: 'Resistance that the drop speaks of beyond the predicted, to be mended',
    value: 0.2,
    unit: 'Ω',
    source: computed,
  },
  loadThroughJoint: {
    title: 'A joint through which a load is still asked for',
    value: 1,
    unit: 'Ω',
    source: { ...computed, note: '8 A make 64 W of heat in it; no standard' },
  },
  heatInJoint: {
    title: 'Heat that a load makes beyond the predicted, perhaps in one joint',
    value: 64,
    unit: 'W',
    source: { ...computed, note: 'what 8 A make in 1 Ω; no standard' },
  },
  warmRise: {
    title: 'Rise of a plug, breaker or outlet over the air after 30 min',
    value: 30,
    unit: '°C',
    source: { publication: 'UL 498', clause: 'temperature rise', sure: 'C' },
  },
  testerWait: {
    title: 'Wait for a plug-in tester to trip the device',
    value: 7,
    unit: 's',
    source: { publication: 'UL 1436', clause: '10.2', sure: 'A' },
  },
  resetHold: {
    title: 'The device stays reset',
    value: 60,
    unit: 's',
    source: judgement,
  },
  proofPause: {
    title: 'Pause after which dead is proven again, and a place made ready again',
    value: 4,
    unit: 'h',
    source: judgement,
  },
  otherSourcePins: {
    title: 'Inlet pins with another source running and the cord out',
    value: 1,
    unit: 'V',
    source: {
      publication: 'NEC',
      clause: '551.30 and 551.31 in sense',
      sure: 'C',
      note: 'the figure is common practice; clauses from memory',
    },
  },
} as const satisfies Record<string, Limit>;
