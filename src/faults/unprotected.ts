import type { ElectricalCircuit } from '../meter/electrical-circuit.js';
import { smallConductorCap, smallConductorCapAmps } from '../trade/small-conductor-cap.js';

/** The thinnest size of a branch conductor, AWG: the first that has a breaker of its own. @source NEC 240.4(D) */
const thinnestBranch = Math.max(...smallConductorCap.rows.map((row) => row.awg));

/**
 * What of a circuit leaves its wire without the breaker that it needs: none in the van, or one larger than the inlet or the thinnest
 * wire behind it. No reading shows that, and no concession covers it. Empty where the breaker is right by what the circuit says.
 */
export function unprotected({ breaker, inlet, run }: ElectricalCircuit): string[] {
  const thinnest = Math.max(...run.map((o) => o.feed.awg));
  const thin =
    thinnest > thinnestBranch
      ? [
          `${thinnest} AWG is too thin for the run of a van, whatever the breaker: put in ${thinnestBranch} AWG or thicker.`,
        ]
      : [];
  if (breaker === null)
    return [
      'There is no breaker in the van: its wire has only the supply’s, which may be far larger. Put one between the inlet and the first outlet.',
      ...thin,
    ];
  const cap = smallConductorCapAmps(thinnest);
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
    ...thin,
  ];
}
