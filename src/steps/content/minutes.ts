import { commonPractice } from '../../trade/source.js';
import { issueStepId } from '../step.js';

/** Where the minutes come from. */
export const minutesSource = commonPractice;

/**
 * About how many minutes of work a step takes one fitter, readings counted in and waiting left out (sealant that cures, a
 * body that dries). By the step's id; a step that comes once an outlet stands under what its id begins with.
 * @source common practice, no source
 */
export const minutesOfSteps: Readonly<Record<string, number>> = {
  'last-word': 10,
  'other-sources': 5,
  'loads-listed': 5,
  'ratings-ladder': 5,
  'cable-chosen': 5,
  'cord-and-drop': 5,
  'boxes-and-entry': 5,
  'device-chosen': 10,
  'tools-laid-out': 15,

  'inlet-spot': 15,
  'walk-round': 10,
  'look-behind': 40,
  'outlet-places': 15,
  'van-dead': 15,
  'template-marked': 15,

  'pilot-hole': 10,
  'hole-cut': 25,
  'edge-painted': 15,
  'dry-fit': 10,
  'edge-guard': 10,
  'inlet-bedded': 20,
  'hose-test': 20,

  'cable-read': 5,
  'edges-guarded': 20,
  'route-pulled': 60,
  supports: 30,
  bends: 10,
  'strain-relief': 20,
  'insulation-bare-cable': 15,
  'run-photographed': 5,

  'land-inlet': 15,
  'inlet-torque': 15,
  bond: 30,
  'case-bond': 30,
  'breaker-box': 30,
  land: 20,
  'prove-hand-work': 20,

  'feed-found': 10,
  'breaker-first': 10,
  'line-load-read': 5,
  'line-load-looked-again': 5,

  'absence-of-voltage': 10,
  'ground-path': 10,
  'bond-path': 10,
  'poles-to-first': 10,
  'poles-behind': 10,
  'isolation-behind': 10,
  'isolation-at-inlet': 15,
  'cord-alone': 15,
  'everything-off': 10,

  'ready-for-live': 10,
  'supply-measured': 10,
  'cord-end-measured': 5,
  'chassis-to-earth': 10,
  'breaker-on': 5,
  'slot-voltages': 15,
  'test-button': 10,
  'plug-in-tester': 5,
  'other-source-off-pins': 10,
  'under-load': 20,
  'warm-check': 30,
  unplugged: 5,

  'trim-on-repeat': 30,
  'trim-on-test': 10,
  labels: 15,
  'cord-and-spares': 10,
  're-check-set': 5,
  'owner-shown': 20,
  'defects-read': 10,
  [issueStepId]: 10,
};
