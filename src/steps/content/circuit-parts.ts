import type { Circuit, Outlet } from '../../circuit/circuit.js';
import type { CautionId } from '../../trade/cautions.js';
import { runFacts } from './figures.js';

/** The outlets of the run as the drawing names them. */
export const outletParts = (circuit: Circuit): string[] => circuit.run.map((o) => `outlet:${o.id}`);

/** The lengths of cable of the run as the drawing names them. */
export const feedParts = (circuit: Circuit): string[] => circuit.run.map((o) => `feed:${o.id}`);

/** The lengths of cable from the inlet to an outlet. */
export const feedsUpTo = (circuit: Circuit, outlet: Outlet): string[] =>
  feedParts(circuit).slice(0, circuit.run.indexOf(outlet) + 1);

/** Every device and every gauge of the run: the facts of a step that concerns all of it. */
export const wholeRun = (circuit: Circuit): Record<string, string> =>
  runFacts(circuit, circuit.run.length, false);

/** For work that is done dead: what the cord out does not stop, where there is another source. */
export const othersOff = (circuit: Circuit): CautionId[] =>
  circuit.otherSources.length > 0 ? ['other-source-off'] : [];
