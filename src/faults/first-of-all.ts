import { numberText } from '../circuit/quantity-text.js';
import { judgeAgainstLimit } from '../meter/judge.js';
import type { ReadingsFile } from '../meter/readings-file.js';
import { fullSchedule } from '../meter/schedule.js';
import { nominalVolts } from '../meter/supply-as-met.js';
import { readingLimits } from '../trade/reading-limits.js';
import { mostVolts, showsOverVolts } from './as-met.js';
import type { Answer } from './diagnose.js';
import { loadOff } from './joint.js';
import { deadLimits } from './rule-limits.js';
import { Taken } from './taken.js';

/** What comes first where the van's own metal is live. */
export const skinMayBeLive =
  'Touch no metal of the van. Unplug at the supply first, then look for the cause.';
/** What comes first where something live is not as it should be. */
export const unplugFirst = 'Unplug at the supply before anything is touched or opened.';
const skinUnproven = `Touch no metal of the van: chassis to true earth is not proven to stand under ${readingLimits.chassisToEarthUnplug.value} V. Read it again with a finer meter.`;
/** What comes first where the supply itself gives way under a load: its neutral may be lost, which lifts every other outlet on it. */
export const supplyGivesWay =
  'Take the load off now, and unplug: the supply’s own slots give way under it. It may have lost its neutral, and other outlets there then stand as much too high. Tell whoever keeps it, and prove the van elsewhere.';
const cordOut =
  'Leave the cord out: what these dead readings show is mended and read again before anything is plugged in.';

/** What to do before anyone thinks of a wire, the most urgent alone; undefined where no reading asks for it. */
export function firstOfAll(
  file: ReadingsFile,
  { limits, joints }: Pick<Answer, 'limits' | 'joints'>,
): string | undefined {
  const skin = skinVerdict(file);
  if (skin === 'fail') return skinMayBeLive;
  if (overVolts(file))
    return `${unplugFirst} More than ${numberText(mostVolts(file.circuit))} V stand there: nothing is plugged in before the supply is put right.`;
  if (givesWay(file)) return supplyGivesWay;
  const hot = joints.find((j) => j.what === 'load-off');
  if (hot !== undefined) return loadOff(hot.ohms, hot.amps);
  if (deadFails(file, limits)) return cordOut;
  if (skin === 'unproven') return skinUnproven;
  const fails = limits.some((l) => l.verdict === 'fail' && liveRules.has(l.rule));
  return fails ? unplugFirst : undefined;
}

/** The rules that live readings alone can break once the dead ones and the skin are right. */
const liveRules: ReadonlySet<string> = new Set(['polarity', 'ground-fault-device']);
const deadRules: ReadonlySet<string> = new Set(['ground-path', 'bond', 'isolation', 'neutral-apart', 'cord']);

/** Whether chassis to true earth stands under what asks to unplug, the meter's error counted against it; undefined where it was not read. */
export function skinVerdict({ readings, meter }: ReadingsFile): 'pass' | 'fail' | 'unproven' | undefined {
  const upper = readingLimits.chassisToEarthUnplug.value;
  const read = new Taken(readings, meter)
    .volts('chassis', 'earth')
    .map((m) => judgeAgainstLimit({ ...m, upper }));
  if (read.includes('fail')) return 'fail';
  return read.includes('unproven') ? 'unproven' : read[0];
}

/** Volts, with or without a load, that are more for certain than a supply may have. */
export function overVolts({ circuit, readings, meter }: ReadingsFile): boolean {
  return showsOverVolts(circuit, new Taken(readings, meter));
}

/** Whether the supply's own slots, under a load in the van, stand for certain under what any supply may have. */
function givesWay({ circuit, readings, meter }: ReadingsFile): boolean {
  const lower = (readingLimits.supplyLow.value / nominalVolts) * circuit.supply.volts;
  return new Taken(readings, meter).loadedSupply().some((m) => judgeAgainstLimit({ ...m, lower }) === 'fail');
}

/** A dead reading breaks its rule for certain: a ground, the bond, the cord, two conductors that are not apart, a pole that is not through. */
export function deadFails({ circuit, readings, meter }: ReadingsFile, limits: Answer['limits']): boolean {
  if (limits.some((l) => l.verdict === 'fail' && deadRules.has(l.rule))) return true;
  const taken = new Taken(readings, meter);
  return fullSchedule(circuit).some((test) => {
    if (test.test !== 'resistance' || conductorOf(test.from) !== conductorOf(test.to)) return false;
    const read = taken.ohms(test.from, test.to);
    return read.some((m) => judgeAgainstLimit({ ...m, ...deadLimits.through }) === 'fail');
  });
}

function conductorOf(point: string): string | undefined {
  return point.split('.').at(-1);
}
