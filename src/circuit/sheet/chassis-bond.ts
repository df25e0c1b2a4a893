import { buildLimits } from '../../trade/build-limits.js';
import { rvClause } from '../../trade/rv-clauses.js';
import { type Circuit, words } from '../circuit.js';
import { bondOhm, conductorSource } from '../conductor.js';
import { gaugeAreaText, gaugeText, metresText, numberText } from '../quantity-text.js';
import { type SheetLine, verdictOf } from '../sheet-line.js';
import { nthOfKind } from './other-sources.js';

/** The bonding conductor to the chassis, and those of metal cases. */
export function bondLines(circuit: Circuit): SheetLine[] {
  const { bond } = circuit;
  const ohm = bondOhm(bond);
  const least = gaugeText(buildLimits.bondAwg.value);
  return [
    {
      id: 'bond.size',
      group: 'bond',
      title: 'Bond to the chassis',
      value: `${gaugeAreaText(bond.awg)}, ${metresText(bond.lengthM)}`,
      limit: `copper, ${gaugeAreaText(buildLimits.bondAwg.value)} or thicker`,
      verdict: verdictOf(bond.awg <= buildLimits.bondAwg.value),
      formula: `From the inlet’s ground to bare body steel; ${numberText(ohm * 1000, 0)} mΩ predicted at 20 °C.`,
      sources: [buildLimits.bondAwg.source, conductorSource],
      concession: 'named-person',
      mend: `Use copper of ${least} or thicker.`,
      figures: { ohm },
    },
    ...circuit.otherSources
      .filter((s) => s.metalCase)
      .map(
        (s, k, cased): SheetLine => ({
          id: `bond.case.${nthOfKind(cased, k)}`,
          group: 'bond',
          title: `Metal case of the ${words.otherSource[s.kind]}`,
          value: 'a bond of its own',
          limit: `copper, ${least} or thicker, case to chassis`,
          verdict: 'note',
          formula: 'Should battery positive find the case, the thin ground in its cord would glow.',
          sources: [rvClause('551.20(C)')!.source],
          concession: 'named-person',
          mend: '',
        }),
      ),
  ];
}
