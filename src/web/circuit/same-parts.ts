import { uncapital } from '../../circuit/quantity-text.js';
import type { UnitSystem } from '../../circuit/units.js';
import { lastCircuitIn } from '../../store/last-used.js';
import type { JobAt } from '../job/job-at.js';
import type { FlatTyped } from '../page/form.js';
import type { Services } from '../services.js';
import { unitLabel } from '../step/step-form.js';
import { firstTyped } from './circuit-acts.js';
import { type CircuitField, outletFields, sectionsBefore } from './circuit-fields.js';
import { typedFromCircuit } from './circuit-form.js';

/**
 * What is marked on a part that was bought, and so the same wherever the same part is used. Where something is, how long it
 * is, what is plugged in, and whatever has to be seen or read in a leaflet is each van's own.
 */
const onTheParts =
  /^(cord\.|inlet\.(amps|torqueNm|box\.)|entry\.(kind|holeMm|clamp)|breaker\.(amps|torqueNm|box\.)|inletWire\.(awg|outsideDiameterMm)|bond\.awg|cable\.(method|strands|insulationC|outsideDiameterMm|terminalsC)|run\.0\.(device|amps|terminals|torqueNm|feed\.awg|box\.))/;

/** The parts of the circuit that the shop set last, said group by group, to be filled in by one button. */
interface SameParts {
  readonly job: string;
  readonly lines: readonly { readonly title: string; readonly text: string }[];
  /** The form with them: only where it still stands as it began. */
  readonly filled: FlatTyped;
}

/** Undefined for a circuit that is set already, and where the shop has no other or its parts would change nothing. */
export function sameParts(
  { store }: Services,
  at: JobAt,
  typed: FlatTyped,
  units: UnitSystem,
): SameParts | undefined {
  if (at.log.circuit !== undefined) return undefined;
  const job = lastCircuitIn(store.db, at.number);
  const circuit = job && store.logbook.log(job).circuit;
  if (!circuit) return undefined;
  const theirs = typedFromCircuit(circuit, units);
  const start = firstTyped(units);
  const filled: Record<string, string> = { ...typed };
  const groups = [
    ...sectionsBefore.map(({ title, fields }) => ({ title, fields })),
    { title: 'Outlet 1', fields: outletFields(0) },
  ];
  const lines = groups.flatMap(({ title, fields }) => {
    const taken = fields.filter(
      ({ path }) =>
        onTheParts.test(path) &&
        (theirs[path] ?? '') !== '' &&
        theirs[path] !== typed[path] &&
        ['', start[path]].includes(typed[path] ?? ''),
    );
    for (const { path } of taken)
      for (const name of [path, `${path}.unit`]) if (theirs[name] !== undefined) filled[name] = theirs[name];
    return taken.length === 0
      ? []
      : [
          {
            title,
            text: taken.map((field) => `${uncapital(field.label)} ${said(field, theirs)}`).join('; '),
          },
        ];
  });
  return lines.length === 0 ? undefined : { job, lines, filled };
}

function said(field: CircuitField, typed: FlatTyped): string {
  const text = typed[field.path] ?? '';
  if (field.kind === 'choice') return field.options.find(({ value }) => value === text)?.label ?? text;
  return field.kind === 'measure'
    ? `${text} ${unitLabel(typed[`${field.path}.unit`] ?? field.metric)}`
    : text;
}
