import type { Limit } from './limit.js';
import { commonPractice, judgement, type Source } from './source.js';

const nm: Source = { publication: 'NEC', clause: '334.30', sure: 'A' };
const rv = (clause: string, sure: Source['sure']): Source => ({ publication: 'NEC', clause, sure });

/** Figures for placing, holding and bending: lengths in m or mm as `unit` says, as the trade's inches and feet make them. */
export const buildLimits = {
  supportFromBox: {
    title: 'First support from a box',
    value: 0.3048,
    unit: 'm',
    source: nm,
  },
  supportFromUnclampedBox: {
    title: 'First support from a plastic box without a clamp',
    value: 0.2032,
    unit: 'm',
    source: { ...nm, clause: '334.30 and 314.17(C)' },
  },
  supportSpacing: {
    title: 'Between supports',
    value: 1.3716,
    unit: 'm',
    source: nm,
  },
  supportSpacingBoat: {
    title: 'Between supports where it shakes',
    value: 0.4572,
    unit: 'm',
    source: { publication: 'ABYC E-11', clause: 'support every 18 in', sure: 'B' },
  },
  bendDiameters: {
    title: 'Bend radius in diameters of the cable',
    value: 5,
    unit: '× diameter',
    source: rv('551.47(H) and 334.24', 'A'),
  },
  jacketInBox: {
    title: 'Jacket showing inside the box',
    value: 6.35,
    unit: 'mm',
    source: { publication: 'NEC', clause: '314.17(C)', sure: 'A' },
  },
  plateDepth: {
    title: 'Cable from the surface without a steel plate',
    value: 31.75,
    unit: 'mm',
    source: { publication: 'NEC', clause: '300.4 and 551.47(G)', sure: 'B' },
  },
  behindHole: {
    title: 'Clear behind the hole’s edge',
    value: 50.8,
    unit: 'mm',
    source: commonPractice,
  },
  fromExhaust: {
    title: 'Cable from the exhaust',
    value: 0.3048,
    unit: 'm',
    source: commonPractice,
  },
  fromFixedParts: {
    title: 'Cable from fixed parts',
    value: 10,
    unit: 'mm',
    source: { publication: 'Van makers’ body-builder guides', sure: 'B' },
  },
  fromMovingParts: {
    title: 'Cable from moving parts',
    value: 25,
    unit: 'mm',
    source: { publication: 'Van makers’ body-builder guides', sure: 'B' },
  },
  strainPull: {
    title: 'Pull at a strain relief',
    value: 30,
    unit: 'lbf',
    source: { ...judgement, clause: 'UL 859 asks 35 lbf of an appliance' },
  },
  terminalTug: {
    title: 'Tug at a terminal',
    value: 10,
    unit: 'lbf',
    source: judgement,
  },
  inletFromRear: {
    title: 'Inlet from the rear of the vehicle',
    value: 4.572,
    unit: 'm',
    source: rv('551.46(E)', 'A'),
  },
  inletHeight: {
    title: 'Inlet above the ground',
    value: 1.8,
    unit: 'm',
    source: { publication: 'IEC 60364-7-721', clause: 'inlet height', sure: 'A' },
  },
  cordSideEntry: {
    title: 'Cord with the inlet at the side',
    value: 7.5,
    unit: 'm',
    source: rv('551.46(B)', 'B'),
  },
  cordRearEntry: {
    title: 'Cord with the inlet at the rear',
    value: 9,
    unit: 'm',
    source: rv('551.46(B)', 'C'),
  },
  cordHighEntry: {
    title: 'Inlet above the ground before the cord must be longer',
    value: 0.9144,
    unit: 'm',
    source: rv('551.46(B)', 'C'),
  },
  loosePlugShare: {
    title: 'One plugged-in load, share of the breaker',
    value: 80,
    unit: '%',
    source: rv('210.23(A)(1)', 'A'),
  },
  fastenedShare: {
    title: 'Fastened loads together, share of the breaker',
    value: 50,
    unit: '%',
    source: rv('210.23(A)(2)', 'A'),
  },
  continuousShare: {
    title: 'Loads of three hours or more, counted at',
    value: 125,
    unit: '%',
    source: rv('210.19(A)(1) and 210.20(A)', 'A'),
  },
  bondAwg: {
    title: 'Bonding conductor',
    value: 8,
    unit: 'AWG',
    source: rv('551.56(C)', 'A'),
  },
} as const satisfies Record<string, Limit>;
