import type { Circuit, Outlet } from '../../circuit/circuit.js';
import { words } from '../../circuit/circuit.js';
import { gaugeText, metresText } from '../../circuit/quantity-text.js';

/** Facts about the cable that every length of the run shares. */
export function cableFacts(circuit: Circuit): Record<string, string> {
  return {
    'cable method': words.cableMethod[circuit.cable.method],
    'cable strands': words.strands[circuit.cable.strands],
  };
}

/** The cable from the inlet to the breaker, where it is one of its own; with `length`, its length too. */
function inletWireFacts({ inletWire }: Circuit, length: boolean): Record<string, string> {
  if (inletWire === undefined) return {};
  const gauge = { 'gauge from the inlet to the breaker': gaugeText(inletWire.awg) };
  return length ? { ...gauge, 'length from the inlet to the breaker': metresText(inletWire.lengthM) } : gauge;
}

/** The cord that belongs to the van. */
export function cordFacts({ cord: { awg, lengthM, typeLetters } }: Circuit): Record<string, string> {
  return { 'cord gauge': gaugeText(awg), 'cord length': metresText(lengthM), 'cord type': typeLetters };
}

/** Gauge of each length of cable from the inlet on; with `lengths`, its length too. Numbered as today. */
export function feedFacts(circuit: Circuit, upTo: number, lengths: boolean): Record<string, string> {
  const facts: Record<string, string> = { ...inletWireFacts(circuit, lengths) };
  circuit.run.slice(0, upTo).forEach((o, k) => {
    facts[`feed ${k + 1} gauge`] = gaugeText(o.feed.awg);
    if (lengths) facts[`feed ${k + 1} length`] = metresText(o.feed.lengthM);
  });
  return facts;
}

/** Kind of every device in the run, numbered as today, up to and including number `upTo`. */
export function deviceFacts(circuit: Circuit, upTo: number): Record<string, string> {
  return Object.fromEntries(
    circuit.run.slice(0, upTo).map((o, k) => [`outlet ${k + 1} device`, words.deviceKind[o.device]]),
  );
}

/** Devices and gauges as far as number `upTo`; with `lengths`, how long each cable is, too. */
export function runFacts(circuit: Circuit, upTo: number, lengths: boolean): Record<string, string> {
  return { ...deviceFacts(circuit, upTo), ...feedFacts(circuit, upTo, lengths) };
}

/** What stands before and behind an outlet, by identity, so that a new neighbour opens its box again and a new number does not. */
export function neighbourFacts(circuit: Circuit, o: Outlet): Record<string, string> {
  const k = circuit.run.indexOf(o);
  const before = circuit.run[k - 1];
  const behind = circuit.run[k + 1];
  return {
    'fed from': before ? `outlet ${before.id}` : 'the breaker',
    'feed gauge': gaugeText(o.feed.awg),
    'run goes on to': behind ? `outlet ${behind.id}` : 'nothing, it is the last',
    ...(behind ? { 'run gauge': gaugeText(behind.feed.awg) } : {}),
  };
}

/** What is landed in the box of an outlet: the device and its terminals, the box, the cables that end there. */
export function outletFacts(circuit: Circuit, o: Outlet): Record<string, string> {
  return {
    device: `${words.deviceKind[o.device]}, ${o.amps} A`,
    terminals: words.terminals[o.terminals],
    box: words.boxMaterial[o.box.material],
    ...cableFacts(circuit),
    ...neighbourFacts(circuit, o),
  };
}

/** What is landed at the inlet and in the breaker's box. */
export function entryFacts(circuit: Circuit): Record<string, string> {
  const { inlet, breaker } = circuit;
  return {
    'inlet rating': `${inlet.amps} A`,
    'breaker rating': `${breaker.amps} A`,
    'box of the breaker': breaker.box ? words.boxMaterial[breaker.box.material] : 'none named',
    ...cableFacts(circuit),
    ...feedFacts(circuit, 1, false),
  };
}

/** The other sources and how each is kept off the inlet. */
export function otherSourceFacts(circuit: Circuit): Record<string, string> {
  if (circuit.otherSources.length === 0) return { 'other sources': 'none' };
  return Object.fromEntries(
    circuit.otherSources.map((s, k) => [
      `other source ${k + 1}`,
      `${words.otherSource[s.kind]}, kept off by ${words.keptOff[s.keptOff]}${s.metalCase ? ', metal case' : ''}`,
    ]),
  );
}

/** "outlet 2 (press bench)": number of today and place. */
export function outletName(circuit: Circuit, o: Outlet): string {
  return `outlet ${circuit.run.indexOf(o) + 1} (${o.place})`;
}

/** The first ground-fault device in the run, where there is one. */
export function groundFaultOutlet(circuit: Circuit): Outlet | undefined {
  return circuit.run.find((o) => o.device === 'gfci-receptacle');
}

export const livingQuarters = (circuit: Circuit): boolean => circuit.vehicleUse === 'living-quarters';
