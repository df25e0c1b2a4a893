import { inletAwg } from '../circuit/inlet-wire.js';
import type { ElectricalCircuit } from '../meter/electrical-circuit.js';
import { smallConductorCap, smallConductorCapAmps } from '../trade/small-conductor-cap.js';

/** The thinnest size of a branch conductor, AWG: the first that has a breaker of its own. @source NEC 240.4(D) */
const thinnestBranch = Math.max(...smallConductorCap.rows.map((row) => row.awg));

/**
 * What of a circuit leaves its wire without the breaker that it needs: none in the van, one larger than the inlet or the thinnest
 * wire behind it, or wire ahead of it that is too thin for the inlet. No reading shows that, and no concession covers it. Empty
 * where the breaker is right by what the circuit says. @source NEC 240.4(D)
 */
export function unprotected(circuit: ElectricalCircuit): string[] {
  const { breaker, inlet, run } = circuit;
  const ahead = inletAwg(circuit);
  const thinnest = Math.max(...run.map((o) => o.feed.awg));
  const thinnestOfAll = Math.max(ahead, thinnest);
  const thin =
    thinnestOfAll > thinnestBranch
      ? [
          `${thinnestOfAll} AWG is too thin for the run of a van, whatever the breaker: put in ${thinnestBranch} AWG or thicker.`,
        ]
      : [];
  if (breaker === null)
    return [
      'There is no breaker in the van: its wire has only the supply’s, which may be far larger. Put one between the inlet and the first outlet.',
      ...thin,
    ];
  const cap = smallConductorCapAmps(thinnest);
  const aheadCap = smallConductorCapAmps(ahead);
  const said = `The van’s breaker of ${breaker.amps} A is larger than`;
  return [
    ...(breaker.amps > inlet.amps
      ? [`${said} the inlet’s ${inlet.amps} A: put in one of ${inlet.amps} A or less.`]
      : []),
    ...(cap !== undefined && breaker.amps > cap
      ? [
          `${said} the ${cap} A that ${thinnest} AWG may stand behind: put in one of ${cap} A or less, or thicker cable.`,
        ]
      : []),
    // Ahead of the van's breaker stands the supply's alone, as large as the inlet lets it be.
    ...(aheadCap !== undefined && aheadCap < inlet.amps
      ? [
          `Between the inlet and the breaker ${ahead} AWG may stand behind ${aheadCap} A, and the inlet takes ${inlet.amps} A: put in cable there that is good for ${inlet.amps} A.`,
        ]
      : []),
    ...thin,
  ];
}
