import type { Fault } from './fault.js';
import type { Layout } from './layout.js';
import { wire } from './network.js';
import type { Lamps } from './readings-file.js';

/** A lamp with its resistor, Ω: three of them stand between the slots, so that a missing conductor puts two in series. */
const lampOhm = 100_000;
/** Share of the supply's volts above which a lamp is seen to light; two in series get half each and stay dark. */
const lights = 0.65;

/** Which lamps a three-lamp tester lights at an outlet, as bits: 4 hot–neutral, 2 hot–ground, 1 neutral–ground. */
export function lampsOfTest(
  layout: Layout,
  faults: readonly Fault[],
  contacts: readonly boolean[],
  outlet: number,
): number {
  const network = layout.meshes.take();
  wire(layout, faults, { supplied: true, cordIn: true, contacts }, network);
  const [hot, neutral, ground] = layout.outlets[outlet - 1]!.slot;
  network.join(hot, neutral, lampOhm);
  network.join(hot, ground, lampOhm);
  network.join(neutral, ground, lampOhm);
  const { volts } = layout.circuit.supply;
  const v = network.eliminate().potentials(volts);
  const lit = (a: number, b: number) => Number(Math.abs(v[a]! - v[b]!) > lights * volts);
  return lampBits({
    hotNeutral: lit(hot, neutral) === 1,
    hotGround: lit(hot, ground) === 1,
    neutralGround: lit(neutral, ground) === 1,
  });
}

/** Three lamps as one number, and back. */
export function lampBits(lamps: Lamps): number {
  return (lamps.hotNeutral ? 4 : 0) + (lamps.hotGround ? 2 : 0) + (lamps.neutralGround ? 1 : 0);
}

export function lampsOfBits(bits: number): Lamps {
  return { hotNeutral: (bits & 4) !== 0, hotGround: (bits & 2) !== 0, neutralGround: (bits & 1) !== 0 };
}
