import type { ElectricalCircuit } from '../../../src/meter/electrical-circuit.js';
import type { Fault } from '../../../src/meter/fault.js';

/**
 * Netlists for ngspice, written from the page that fixes the circuit, the readings and the faults, and from nothing in the
 * product's solver. Many set-ups stand side by side in one deck, each with its own prefix, so that one run answers them all.
 */

export interface SetUp {
  readonly circuit: ElectricalCircuit;
  readonly faults: readonly Fault[];
  /** `dead`: cord out. `live`: cord in, supply on. */
  readonly state: 'dead' | 'live';
  /** Ground-fault devices by outlet number: contacts closed or not; open when not named. */
  readonly closed: ReadonlySet<number>;
  readonly load?: { readonly outlet: number; readonly ohm: number } | undefined;
  /** Two points bridged by a meter's input (live) or fed with one ampere (dead). */
  readonly probe?: { readonly from: string; readonly to: string; readonly inputOhm: number } | undefined;
  readonly breakAt: 'start' | 'end';
  /** Stray capacitance across an open contact, F. */
  readonly stray?: number;
}

const letters = ['hot', 'neutral', 'ground'] as const;
type Letter = (typeof letters)[number];

/** Lines of one set-up; `prefix` keeps its nodes apart from every other's. */
export function netlist(prefix: string, setUp: SetUp): string[] {
  const { circuit, faults, state, closed } = setUp;
  const lines: string[] = [];
  let count = 0;
  const node = (name: string) =>
    name === 'earth' && state === 'live' ? '0' : `${prefix}${name.replaceAll('.', '_')}`;
  const resistor = (a: string, b: string, ohm: number) =>
    lines.push(`R${prefix}${++count} ${node(a)} ${node(b)} ${ohm}`);
  const capacitor = (a: string, b: string, farad: number) =>
    lines.push(`C${prefix}${++count} ${node(a)} ${node(b)} ${farad}`);
  const sense = (name: string, a: string, b: string) =>
    lines.push(`V${prefix}${name} ${node(a)} ${node(b)} 0`);
  const is = (kind: string, where: string) => faults.find((f) => f.fault === kind && f.where === where);
  const opened = (where: string, conductor: Letter | undefined) =>
    faults.some(
      (f) =>
        f.fault === 'open' && f.where === where && ('conductor' in f ? f.conductor : undefined) === conductor,
    );
  const extra = (where: string, conductor: Letter | undefined) =>
    faults.reduce((sum, f) => {
      if (f.fault !== 'high-resistance' || f.where !== where) return sum;
      return ('conductor' in f ? f.conductor : undefined) === conductor ? sum + f.ohms : sum;
    }, 0);
  const lands = (kind: 'swapped' | 'face-swapped', where: string, conductor: Letter): Letter => {
    let at = conductor;
    for (const f of faults) {
      if (f.fault !== kind || f.where !== where) continue;
      const [p, q] = f.conductors;
      at = at === p ? q : at === q ? p : at;
    }
    return at;
  };
  const wireOhm = (length: { awg: number; lengthM: number }) => {
    const diameterMm = 0.127 * 92 ** ((36 - length.awg) / 39);
    const areaMm2 = (Math.PI * diameterMm * diameterMm) / 4;
    const warm = 1 + 0.00393 * ((circuit.temperatureC ?? 20) - 20);
    return ((0.017241379 * warm) / areaMm2) * length.lengthM * 1.02;
  };
  /** A cable: each conductor in two halves, the coupling between the middles, the break in one of the halves. */
  const cable = (
    where: string,
    from: (c: Letter) => string,
    to: (c: Letter) => string,
    length: { awg: number; lengthM: number },
    joints: (c: Letter) => number,
  ) => {
    for (const c of letters) {
      const half = (wireOhm(length) + 0.004 + extra(where, c) + joints(c)) / 2;
      const broken = opened(where, c);
      if (!(broken && setUp.breakAt === 'start')) resistor(from(c), `${where}.mid.${c}`, half);
      if (!(broken && setUp.breakAt === 'end'))
        resistor(`${where}.mid.${c}`, to(lands('swapped', where, c)), half);
    }
    if (state === 'dead') return;
    const farad = 100e-12 * length.lengthM;
    capacitor(`${where}.mid.hot`, `${where}.mid.neutral`, farad);
    capacitor(`${where}.mid.hot`, `${where}.mid.ground`, farad);
    capacitor(`${where}.mid.neutral`, `${where}.mid.ground`, farad);
  };
  const joinedAt = (where: string, point: (c: Letter) => string) => {
    for (const f of faults) {
      if (f.fault === 'joined' && f.where === where)
        resistor(point(f.conductors[0]), point(f.conductors[1]), f.ohms ?? 0.01);
    }
  };

  if (state === 'live') {
    lines.push(`V${prefix}source ${node('source')} 0 dc 0 ac ${circuit.supply.volts}`);
    sense('supply', 'source', 'source.out');
    const loop = circuit.supply.loopOhms / 2;
    if (is('bootleg-reversed', 'supply')) {
      resistor('source.out', 'supply.neutral', loop);
      resistor('earth', 'supply.hot', loop);
      resistor('supply.ground', 'supply.neutral', 0.001);
    } else {
      for (const c of letters) {
        if (opened('supply', c)) continue;
        resistor(c === 'hot' ? 'source.out' : 'earth', `supply.${lands('swapped', 'supply', c)}`, loop);
      }
    }
  }
  const cordFrom = (c: Letter) => (state === 'live' ? `supply.${c}` : `plug.${c}`);
  const cordTo = (c: Letter) => (state === 'live' ? `inlet.${c}` : `connector.${c}`);
  cable('cord', cordFrom, cordTo, circuit.cord, () => 0);
  joinedAt('inlet', (c) => `inlet.${c}`);
  if (!opened('bond', undefined)) {
    resistor('inlet.ground', 'chassis', wireOhm(circuit.bond) + 0.005 + extra('bond', undefined));
  }
  let from = (c: Letter) => `inlet.${c}`;
  circuit.run.forEach(({ device, feed }, index) => {
    const k = index + 1;
    const at = `outlet${k}`;
    const gfci = device === 'gfci-receptacle';
    const before = index > 0 && circuit.run[index - 1]!.device !== 'gfci-receptacle';
    const joints = (c: Letter) => {
      if (index === 0) return c === 'hot' && circuit.breaker !== null ? 0.001 : 0;
      return before || c === 'ground' ? 0.001 : 0;
    };
    const screw = (side: 'line' | 'load') => (c: Letter) =>
      c === 'ground' || !gfci ? `${at}.screw.${c}` : `${at}.${side}.${c}`;
    const reversed = is('line-load-reversed', at) !== undefined;
    cable(`feed${k}`, from, screw(reversed ? 'load' : 'line'), feed, joints);
    for (const c of letters) {
      const slot = lands('face-swapped', at, c);
      const faceOpen = faults.some((f) => f.fault === 'face-open' && f.where === at && f.conductor === slot);
      const live = gfci && c !== 'ground';
      if (live && closed.has(k)) {
        sense(`${k}load${c}`, `${at}.line.${c}`, `${at}.inside.load.${c}`);
        resistor(`${at}.inside.load.${c}`, `${at}.load.${c}`, 0.001);
      }
      if (live && !closed.has(k) && setUp.stray !== undefined && state === 'live') {
        capacitor(`${at}.line.${c}`, `${at}.load.${c}`, setUp.stray);
        capacitor(`${at}.line.${c}`, `${at}.${slot}`, setUp.stray);
      }
      if (faceOpen) {
        if (setUp.stray !== undefined && state === 'live')
          capacitor(screw('line')(c), `${at}.${slot}`, setUp.stray);
        continue;
      }
      if (live && !closed.has(k)) continue;
      if (live) {
        sense(`${k}face${c}`, `${at}.line.${c}`, `${at}.inside.face.${c}`);
        resistor(`${at}.inside.face.${c}`, `${at}.${slot}`, 0.001 + extra(at, slot));
      } else resistor(`${at}.screw.${c}`, `${at}.${slot}`, 0.001 + extra(at, slot));
    }
    joinedAt(at, (c) => (gfci && c !== 'ground' ? `${at}.${c}` : `${at}.screw.${c}`));
    if (gfci && state === 'live') resistor(`${at}.line.hot`, `${at}.line.neutral`, 30_000);
    from = screw(reversed || is('fed-from-line', at) ? 'line' : 'load');
  });
  if (setUp.load !== undefined) {
    const { outlet, ohm } = setUp.load;
    resistor(`outlet${outlet}.hot`, `outlet${outlet}.neutral`, ohm);
  }
  if (setUp.probe !== undefined) {
    const { from: a, to: b, inputOhm } = setUp.probe;
    if (state === 'live') resistor(a, b, inputOhm);
    else lines.push(`I${prefix}probe ${node(b)} ${node(a)} dc 0 ac 1`);
  }
  return lines;
}

/** The node of a point as it stands in the deck. */
export function nodeName(prefix: string, setUp: SetUp, point: string): string {
  if (point === 'earth' && setUp.state === 'live') return '0';
  return `${prefix}${point.replaceAll('.', '_')}`;
}
