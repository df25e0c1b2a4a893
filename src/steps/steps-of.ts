import type { Circuit } from '../circuit/circuit.js';
import { cableSteps } from './content/cable.js';
import { deadSteps } from './content/dead.js';
import type { DraftStep } from './content/draft-step.js';
import { handoverSteps } from './content/handover.js';
import { liveSteps } from './content/live.js';
import { openingSteps } from './content/opening.js';
import { orderSteps } from './content/order.js';
import { placementSteps } from './content/placement.js';
import { sheetSteps } from './content/sheet.js';
import { terminationSteps } from './content/terminations.js';
import { allLandedFacts } from './readings/landed-facts.js';
import { readingDrafts } from './readings/reading-drafts.js';
import { retest } from './retest.js';
import type { StageId, Step } from './step.js';

/** The letter that a stage's printed numbers begin with. */
const letters: Record<StageId, string> = {
  sheet: 'S',
  placement: 'P',
  opening: 'O',
  cable: 'C',
  terminations: 'T',
  order: 'D',
  dead: 'X',
  live: 'L',
  handover: 'H',
};

/** Every step that a circuit calls for, stage by stage, numbered as they stand today; each with which of the readings is taken at it. */
export function stepsOf(circuit: Circuit, readings = readingDrafts(circuit)): Step[] {
  const landed = allLandedFacts(circuit);
  const counts = new Map<StageId, number>();
  return drafts(circuit).map((step) => {
    const place = (counts.get(step.stage) ?? 0) + 1;
    counts.set(step.stage, place);
    return {
      ...step,
      basis: (retest as readonly string[]).includes(step.id) ? { ...step.basis, ...landed } : step.basis,
      number: `${letters[step.stage]}${place}`,
      readings: readings.filter((r) => r.step === step.id).map((r) => r.id),
    };
  });
}

function drafts(circuit: Circuit): DraftStep[] {
  return [
    sheetSteps,
    placementSteps,
    openingSteps,
    cableSteps,
    terminationSteps,
    orderSteps,
    deadSteps,
    liveSteps,
    handoverSteps,
  ].flatMap((stage) => stage(circuit));
}
