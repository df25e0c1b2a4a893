import { expect, test } from 'vitest';
import { buildLimits } from '../../src/trade/build-limits.js';
import { readingLimits } from '../../src/trade/reading-limits.js';

const inch = 0.0254;
const foot = 0.3048;

/** What a limit is in the trade's own unit, times what that unit is in ours. Where nobody published one, the figure is judgement. */
type Figures<T> = Record<keyof T, number>;

// NEC 334.30: 12 in. from a box, 8 in. where it has no clamp, 4-1/2 ft between; 314.17(C): 1/4 in. of sheath; 300.4: 1-1/4 in.;
// 551.46(B) and (E): cords of 25 and 30 ft (7.5 and 9 m), 15 ft from the rear, 3 ft up; 551.47(H): five diameters; 551.56(C): 8 AWG.
const building: Figures<typeof buildLimits> = {
  supportFromBox: 12 * inch,
  supportFromUnclampedBox: 8 * inch,
  supportSpacing: 4.5 * foot,
  supportSpacingBoat: 18 * inch,
  bendDiameters: 5,
  jacketInBox: 0.25 * inch * 1000,
  plateDepth: 1.25 * inch * 1000,
  behindHole: 2 * inch * 1000,
  fromExhaust: 12 * inch,
  fromFixedParts: 10,
  fromMovingParts: 25,
  strainPull: 30,
  terminalTug: 10,
  inletFromRear: 15 * foot,
  inletHeight: 1.8,
  cordSideEntry: 7.5,
  cordRearEntry: 9,
  cordHighEntry: 3 * foot,
  loosePlugShare: 80,
  fastenedShare: 50,
  continuousShare: 125,
  bondAwg: 8,
};

// IEC 60364-6: 1 MΩ at 500 V; ANSI C84.1: 114 to 126, 110 to 127, 108 and 104 V; NEC 210.19, note: 5 %; UL 1436: 7 s; UL 498: 30 °C;
// trade authors: 2, 5 and 10 V at the skin. The rest is common practice, or judgement.
const reading: Figures<typeof readingLimits> = {
  groundPath: 1,
  groundPathLook: 0.2,
  bond: 1,
  bondLook: 0.1,
  conductorLook: 0.2,
  cordLook: 0.1,
  cordGround: 1,
  through: 1000,
  wiggleJump: 0.3,
  trimOnChange: 0.1,
  isolation: 1e6,
  isolationWithElectronics: 1000,
  insulationTest: 1e6,
  insulationNewLook: 20e6,
  strayVolts: 0.05,
  dead: 1,
  deadAfterTest: 5,
  deadWithLamp: 30,
  slotShareOfSupply: 0.9,
  neutralGround: 5,
  neutralGroundLook: 2,
  slotAgainstSupplyLook: 2,
  hotGroundAgainstNeutralLook: 2,
  cordEndAgainstSupplyLook: 1,
  chassisToEarth: 10,
  chassisToEarthLook: 2,
  chassisToEarthUnplug: 5,
  supplyLow: 104,
  supplyHigh: 1.1 * 120,
  supplyGoodLow: 114,
  supplyGoodHigh: 126,
  supplyUsableLow: 108,
  supplyUsableHigh: 127,
  drop: 5,
  dropVanAndCord: 3,
  unexplainedLook: 0.1,
  unexplainedMend: 0.2,
  loadThroughJoint: 1,
  heatInJoint: 64,
  warmRise: 30,
  testerWait: 7,
  resetHold: 60,
  proofPause: 4,
  otherSourcePins: 1,
};

const all = [
  ...Object.entries(buildLimits).map(
    ([id, limit]) => [id, limit.value, building[id as keyof typeof building]] as const,
  ),
  ...Object.entries(readingLimits).map(
    ([id, limit]) => [id, limit.value, reading[id as keyof typeof reading]] as const,
  ),
];

test.each(all)('%s is the figure that the trade gives', (_id, value, figure) => {
  expect(value).toBeCloseTo(figure, 9);
});
