import {
  type Conductor,
  conductors,
  type ElectricalCircuit,
  isGroundFaultDevice,
} from './electrical-circuit.js';

/** Where a probe can touch, taken apart: `outlet1.line.hot` is { at: 'outlet', outlet: 1, part: 'line', conductor: 'hot' }. */
export type Point =
  | { readonly at: 'supply' | 'inlet' | 'plug' | 'connector'; readonly conductor: Conductor }
  | {
      readonly at: 'outlet';
      readonly outlet: number;
      readonly part: 'slot' | 'line' | 'load';
      readonly conductor: Conductor;
    }
  | { readonly at: 'chassis' }
  | { readonly at: 'earth' };

/** The points that belong to no conductor, in the words of the trade. */
const alone: Readonly<Record<Exclude<Point, { conductor: Conductor }>['at'], string>> = {
  chassis: 'the chassis',
  earth: 'true earth',
};
const isAlone = (name: string): name is keyof typeof alone => Object.hasOwn(alone, name);

/** The point that a name means in this circuit, or undefined where the circuit lacks it. */
export function parsePoint(circuit: ElectricalCircuit, name: string): Point | undefined {
  if (isAlone(name)) return { at: name };
  const [place = '', ...rest] = name.split('.');
  const conductor = conductors.find((c) => c === rest.at(-1));
  if (conductor === undefined || rest.length > 2) return undefined;
  if (place === 'supply' || place === 'inlet' || place === 'plug' || place === 'connector') {
    return rest.length === 1 ? { at: place, conductor } : undefined;
  }
  const outlet = outletOf(name);
  if (outlet === undefined || outlet > circuit.run.length) return undefined;
  if (rest.length === 1) return { at: 'outlet', outlet, part: 'slot', conductor };
  const part = rest[0];
  if ((part !== 'line' && part !== 'load') || conductor === 'ground') return undefined;
  return isGroundFaultDevice(circuit, outlet) ? { at: 'outlet', outlet, part, conductor } : undefined;
}

/** The name of every point that can be touched where these devices are the run, from the inlet inwards, then the cord and what lies outside. */
export function pointNames(devices: readonly string[]): string[] {
  const outlets = devices.flatMap((device, k) => [
    ...(device === 'gfci-receptacle'
      ? ['line.hot', 'line.neutral', 'load.hot', 'load.neutral'].map((p) => `outlet${k + 1}.${p}`)
      : []),
    ...conductors.map((c) => `outlet${k + 1}.${c}`),
  ]);
  return [
    ...conductors.map((c) => `inlet.${c}`),
    'chassis',
    ...outlets,
    ...conductors.flatMap((c) => [`plug.${c}`, `connector.${c}`]),
    ...conductors.map((c) => `supply.${c}`),
    'earth',
  ];
}

/** The outlet's number in a place or a point's name (`outlet2`, `outlet2.hot`), or undefined where it names none. */
export function outletOf(name: string): number | undefined {
  const match = /^outlet([1-9]\d*)(?:\.|$)/.exec(name);
  return match === null ? undefined : Number(match[1]);
}

/** The place in a point's name: `outlet2` of `outlet2.line.hot`; `earth` and `chassis` are their own. */
export function placeOf(name: string): string {
  return name.split('.')[0]!;
}

/** "outlet 2's neutral slot", "the hot LINE screw of outlet 1": the point in the words of the trade. */
export function pointText(name: string): string {
  const parts = name.split('.');
  const conductor = parts.at(-1);
  const outlet = outletOf(name);
  if (outlet !== undefined && parts.length === 3) {
    return `the ${conductor} ${parts[1] === 'line' ? 'LINE' : 'LOAD'} screw of outlet ${outlet}`;
  }
  if (outlet !== undefined) return `the ${conductor} slot of outlet ${outlet}`;
  if (parts[0] === 'plug') return `the ${conductor} blade of the cord’s plug`;
  if (parts[0] === 'connector') return `the ${conductor} slot of the cord’s connector`;
  if (parts[0] === 'inlet') return `the inlet’s ${conductor} pin`;
  if (parts[0] === 'supply') return `the supply’s ${conductor} slot`;
  return isAlone(name) ? alone[name] : name;
}
