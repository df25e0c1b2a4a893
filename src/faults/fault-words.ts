import { capital, ohmsText } from '../circuit/quantity-text.js';
import {
  type Conductor,
  conductors,
  type ElectricalCircuit,
  isGroundFaultDevice,
} from '../meter/electrical-circuit.js';
import { type Fault, joinedOhm, placeNumber } from '../meter/fault.js';
import { readingLimits } from '../trade/reading-limits.js';

/**
 * The fault as one says it beside the van: "Neutral open between outlet 1 and outlet 2". Of a path or joint that no reading has shown
 * there are no ohms to name.
 */
export function faultText(fault: Fault, circuit: ElectricalCircuit, { withOhms = true } = {}): string {
  const place = placeText(fault.where, circuit);
  const about = (way: string, ohms: number) => (withOhms ? ` ${way} about ${roughOhms(ohms)}` : '');
  switch (fault.fault) {
    case 'open':
      return 'conductor' in fault ? `${capital(fault.conductor)} open ${place}` : `Bond open ${place}`;
    case 'high-resistance':
      if (fault.where === 'supply')
        return `The supply’s own way has about ${roughOhms(fault.ohms)} more than was given: it sags`;
      if ('conductor' in fault && fault.where.startsWith('outlet'))
        return `${capital(fault.conductor)} slot has a poor contact${about('of', fault.ohms)} ${place}`;
      return `${'conductor' in fault ? capital(fault.conductor) : 'Bond'} has a poor joint${about('of', fault.ohms)} ${place}`;
    case 'swapped':
    case 'face-swapped':
      return `${pairText(fault.conductors)} exchanged ${place}`;
    case 'face-open':
      return `${capital(fault.conductor)} slot not connected ${place}`;
    case 'joined':
      return `${pairText(fault.conductors)} joined${about('through', fault.ohms ?? joinedOhm)} ${place}`;
    case 'bootleg-reversed':
      return 'Hot and neutral exchanged at the supply, its ground slot jumped to the neutral: the van’s skin is live';
    case 'line-load-reversed':
      return `LINE and LOAD reversed ${place}`;
    case 'fed-from-line':
      return `The run behind outlet ${placeNumber(fault.where)} is joined to its LINE side: alive, and unprotected`;
  }
}

/** Several faults at once, in one line. */
export function faultsText(faults: readonly Fault[], circuit: ElectricalCircuit): string {
  return faults.map((f) => faultText(f, circuit)).join('; and ');
}

/** Where to look first: which screw, which box. */
export function lookAt(fault: Fault, circuit: ElectricalCircuit): string {
  const number = placeNumber(fault.where);
  const conductor = 'conductor' in fault ? fault.conductor : undefined;
  switch (fault.fault) {
    case 'open':
    case 'high-resistance':
      if (fault.where === 'bond')
        return 'Look at the bond’s lug on the body: paint under it, the washer, the nut; then at the inlet’s ground terminal.';
      if (fault.fault === 'high-resistance' && fault.where === 'supply')
        return `Look for it outside the van: a long thin way to that receptacle, an extension ahead of the cord, a worn or warm slot. ${
          fault.ohms > readingLimits.loadThroughJoint.value
            ? 'Unplug, and prove the van on a stronger supply.'
            : 'Read hot to neutral at the supply’s own slots with the same load on and off; a stronger supply proves the van.'
        }`;
      if (fault.where === 'supply')
        return `Look for it outside the van: the supply’s receptacle or its wiring lacks its ${conductor}. Unplug, and tell whoever keeps it.`;
      if (fault.where === 'cord')
        return `Look at the cord’s two ends: the ${conductor} blade, the ${conductor} clamp in plug and connector, springs gone slack.`;
      if (fault.where.startsWith('outlet'))
        return `Look at outlet ${number} itself: the pigtail at its ${screw(conductor!)}, then the slot: does a plug sit slack in it, is it brown? A slack slot is mended by another receptacle.`;
      return `Look at ${leavesFrom(number, conductor!, circuit)}, then at ${screwAt(number, conductor!, circuit)}: not under its clamp, insulation in the clamp, a missed splice.`;
    case 'swapped':
      if (fault.where === 'supply')
        return 'Look for it outside the van: the supply’s receptacle is wired wrong. Unplug, and tell whoever keeps it.';
      if (fault.where === 'cord')
        return 'Look inside the cord’s plug and connector: two conductors are on each other’s terminal.';
      return `Look at the back of outlet ${number}: ${screws(fault.conductors)} have each other’s wire.`;
    case 'face-swapped':
      return `Look at the pigtails of outlet ${number}: ${screws(fault.conductors)} are exchanged at this device alone.`;
    case 'face-open':
      return `Look at outlet ${number} itself: the pigtail to its ${screw(conductor!)}, then the slot’s contact.`;
    case 'joined':
      return number === 0
        ? `Look in the inlet’s box and in the breaker’s. It is mostly ${joinedBy(fault.conductors)}.`
        : `Look in the box of outlet ${number} and along its cables${andAtLoad(number, circuit)}. It is mostly ${joinedBy(fault.conductors)}.`;
    case 'bootleg-reversed':
      return 'Touch nothing of the van. Unplug at the supply and warn everybody; its receptacle is wired so that the ground pin is live.';
    case 'line-load-reversed':
      return `Look at the back of outlet ${number}: the feed belongs on LINE, the run on LOAD.`;
    case 'fed-from-line':
      return `Look at the LINE screws of outlet ${number}: the run’s wires lie under them together with the feed’s and belong on LOAD.`;
  }
}

/** True for a fault that can put the supply’s volts on what a person holds, or take away what should open in time. */
export function couldKill(fault: Fault): boolean {
  switch (fault.fault) {
    case 'bootleg-reversed':
    case 'fed-from-line':
      return true;
    case 'open':
      return !('conductor' in fault) || fault.conductor === 'ground';
    case 'face-open':
      return fault.conductor === 'ground';
    case 'swapped':
    case 'face-swapped':
    case 'joined':
      return fault.conductors.includes('hot') && fault.conductors.includes('ground');
    case 'high-resistance':
    case 'line-load-reversed':
      return false;
  }
}

/** Several faults in the order in which a person needs to hear of them: what makes the skin live, what asks to unplug, what could kill, the rest. */
export function mostUrgentFirst(faults: readonly Fault[]): Fault[] {
  const urgency = (f: Fault) =>
    f.fault === 'bootleg-reversed'
      ? 0
      : f.where === 'supply' && f.fault !== 'high-resistance'
        ? 1
        : couldKill(f)
          ? 2
          : 3;
  return [...faults].sort((a, b) => urgency(a) - urgency(b));
}

function placeText(where: string, circuit: ElectricalCircuit): string {
  const number = placeNumber(where);
  if (where.startsWith('feed'))
    return number === 1
      ? 'between the inlet and outlet 1'
      : `between outlet ${number - 1} and outlet ${number}`;
  if (where.startsWith('outlet'))
    return `at outlet ${number}${isGroundFaultDevice(circuit, number) ? ' (the ground-fault device)' : ''}`;
  return (
    {
      supply: 'at the supply',
      cord: 'in the cord',
      inlet: 'at the inlet',
      bond: 'between the inlet and the chassis',
    }[where] ?? where
  );
}

function leavesFrom(number: number, conductor: Conductor, circuit: ElectricalCircuit): string {
  if (number === 1) {
    const breaker = conductor === 'hot' && circuit.breaker !== null ? ', the van’s breaker' : '';
    return `the inlet’s ${conductor} terminal${breaker}`;
  }
  if (conductor === 'ground') return `the ground splice in the box of outlet ${number - 1}`;
  const side = isGroundFaultDevice(circuit, number - 1) ? 'LOAD ' : '';
  return `the ${side}${screw(conductor)} that it leaves from at outlet ${number - 1}`;
}

/** A join at the LOAD screws that a cable leaves from reads like one at the box that it goes to. */
function andAtLoad(number: number, circuit: ElectricalCircuit): string {
  return number > 1 && isGroundFaultDevice(circuit, number - 1)
    ? `, and at the LOAD screws of outlet ${number - 1}, where the same join reads alike`
    : '';
}

function screwAt(number: number, conductor: Conductor, circuit: ElectricalCircuit): string {
  const side = conductor !== 'ground' && isGroundFaultDevice(circuit, number) ? 'LINE ' : '';
  return `the ${side}${screw(conductor)} of outlet ${number}`;
}

function screw(conductor: Conductor): string {
  return { hot: 'brass screw', neutral: 'silver screw', ground: 'green screw' }[conductor];
}

function screws([a, b]: readonly [Conductor, Conductor]): string {
  return `the ${screw(a)} and the ${screw(b)}`;
}

function joinedBy(pair: readonly [Conductor, Conductor]): string {
  if (!pair.includes('hot'))
    return 'a bare ground on a silver screw or against the device, or a bonding screw or strap left in';
  if (!pair.includes('ground'))
    return 'a stray strand from screw to screw, a crushed cable, or something still plugged in';
  return 'a bare ground against a brass screw, a trim screw through the cable, a nick where it enters, or damp';
}

function pairText(pair: readonly [Conductor, Conductor]): string {
  const [a, b] = conductors.filter((c) => pair.includes(c));
  return `${capital(a ?? '')} and ${b}`;
}

/** Ohms as a person tells them who has fitted them: three figures, and two below one. */
export function roughOhms(ohms: number): string {
  return ohmsText(ohms, ohms < 1 ? 2 : 3);
}
