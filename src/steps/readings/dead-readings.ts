import type { Circuit, Outlet } from '../../circuit/circuit.js';
import { metresText } from '../../circuit/quantity-text.js';
import { readingLimits } from '../../trade/reading-limits.js';
import { deviceFacts, outletName, runFacts } from '../content/figures.js';
import { bondTouched, boxOpened, deviceTouched, relandedAt, relandedUpTo, waterFound } from './disturbers.js';
import { isolationReadings } from './isolation-readings.js';
import { atMost, between, type Judging, lineOver, type ReadingDraft, readingDraft } from './reading-draft.js';
import { reachedAt, type Section, sectionsOf } from './run-sections.js';

/** Every reading of the van that is taken with the cord out, ground first because every later verdict leans on it. */
export function deadReadings(circuit: Circuit): ReadingDraft[] {
  return [
    ...absenceOfVoltage(circuit),
    ...circuit.run.map((o) => groundPath(circuit, o)),
    bondPath(circuit),
    ...sectionsOf(circuit).flatMap((s) => s.outlets.flatMap((o) => poles(circuit, s, o))),
    ...isolationReadings(circuit),
  ];
}

const feeds = (outlets: readonly Outlet[]): string[] => outlets.map((o) => `feed:${o.id}`);
const upTo = (circuit: Circuit, o: Outlet): readonly Outlet[] =>
  circuit.run.slice(0, circuit.run.indexOf(o) + 1);

function absenceOfVoltage(circuit: Circuit): ReadingDraft[] {
  const places = [
    {
      id: 'inlet',
      title: 'pins of the inlet',
      parts: ['inlet'],
      outlet: undefined,
      at: 'probes on the pins',
    },
    ...circuit.run.map((o) => ({
      id: o.id,
      title: outletName(circuit, o),
      parts: [`outlet:${o.id}`],
      outlet: o.id,
      // Tripped, a device keeps from its slots what feeds its LINE.
      at: `with the test plug${o.device === 'gfci-receptacle' ? ', then probes on its LINE and LOAD screws where they can be reached' : ''}`,
    })),
  ];
  return places.map((place, k) =>
    readingDraft({
      id: `absence-of-voltage.${place.id}`,
      code: `A${k + 1}`,
      step: 'absence-of-voltage',
      stage: 'dead',
      title: `Absence of voltage: ${place.title}`,
      test: 'voltage',
      question: `Hot–neutral, hot–ground and neutral–ground, AC and DC, ${place.at}: write the largest.`,
      ...(place.outlet ? { outlet: place.outlet } : {}),
      expects: 0,
      judging: atMost(readingLimits.dead.value, 'V'),
      whenFails:
        'Take it as live: hands off. Find what feeds it: the cord, an inverter, a generator, another inlet. Switch that off at its own disconnect, then prove it dead from the start.',
      rule: 'absence-of-voltage',
      source: readingLimits.dead.source,
      cautions: ['mains-kills', 'work-dead'],
      mistakes: ['blown-fuse', 'shutter', 'dc-selected', 'silence'],
      parts: place.parts,
      basis: deviceFacts(circuit, place.outlet ? k : 0),
      disturbedBy: [...relandedAt(circuit.run), deviceTouched, bondTouched, waterFound, boxOpened],
    }),
  );
}

function groundPath(circuit: Circuit, o: Outlet): ReadingDraft {
  const k = circuit.run.indexOf(o) + 1;
  // The grounds of the run are spliced in the device's own box, with its pigtail.
  const passesDevice = upTo(circuit, o).some((at) => at.device === 'gfci-receptacle');
  return readingDraft({
    id: `ground-path.${o.id}`,
    code: `G${k}`,
    step: 'ground-path',
    stage: 'dead',
    title: `Ground: inlet to ${outletName(circuit, o)}`,
    ...between('resistance', 'inlet.ground', `outlet${k}.ground`),
    outlet: o.id,
    judging: atMost(readingLimits.groundPath.value, 'Ω', {
      above: readingLimits.groundPathLook.value,
      text: 'Higher than this circuit predicts: look at the splices and the pigtail on the way.',
    }),
    rule: 'ground-path',
    source: readingLimits.groundPath.source,
    mistakes: ['leads-not-nulled', 'buzzer', 'shutter'],
    parts: ['inlet', ...feeds(upTo(circuit, o)), `outlet:${o.id}`],
    basis: runFacts(circuit, k, true),
    disturbedBy: [...relandedUpTo(circuit, o), boxOpened, ...(passesDevice ? [deviceTouched] : [])],
  });
}

function bondPath(circuit: Circuit): ReadingDraft {
  const { awg, lengthM } = circuit.bond;
  return readingDraft({
    id: 'bond',
    code: 'B1',
    step: 'bond-path',
    stage: 'dead',
    title: 'Bond: inlet ground to a second bare spot of the body',
    ...between('resistance', 'inlet.ground', 'chassis'),
    judging: atMost(readingLimits.bond.value, 'Ω', {
      above: readingLimits.bondLook.value,
      text: 'Higher than this bond should be: look for paint under the ring, a spinning nut, a wrong washer.',
    }),
    rule: 'bond',
    source: readingLimits.bond.source,
    mistakes: ['own-bolt', 'paint', 'leads-not-nulled', 'ohms-on-live'],
    parts: ['inlet', 'bond'],
    basis: { 'bond gauge': `${awg} AWG`, 'bond length': metresText(lengthM) },
    disturbedBy: [bondTouched, boxOpened],
  });
}

function poles(circuit: Circuit, section: Section, o: Outlet): ReadingDraft[] {
  const k = circuit.run.indexOf(o) + 1;
  const from = section.device ? `LOAD of ${outletName(circuit, section.device)}` : 'inlet';
  const device = o.device === 'gfci-receptacle';
  const behind = section.device
    ? [...upTo(circuit, o)].slice(circuit.run.indexOf(section.device) + 1)
    : upTo(circuit, o);
  return (['hot', 'neutral'] as const).map((pole) =>
    readingDraft({
      id: `continuity.${pole}.${o.id}`,
      code: `${pole === 'hot' ? 'PH' : 'PN'}${k}`,
      step: section.device ? 'poles-behind' : 'poles-to-first',
      stage: 'dead',
      title: `${pole === 'hot' ? 'Hot' : 'Neutral'}: ${from} to ${device ? 'LINE of ' : ''}${outletName(circuit, o)}`,
      ...between('resistance', `${section.start}.${pole}`, `${reachedAt(circuit, o)}.${pole}`),
      outlet: o.id,
      judging: through,
      rule: 'continuity',
      source: readingLimits.conductorLook.source,
      mistakes: [
        'leads-not-nulled',
        ...(section.device ? ['shutter' as const] : ['breaker-off' as const]),
        'buzzer',
      ],
      parts: [
        ...(section.device ? [`outlet:${section.device.id}`] : ['inlet', 'breaker']),
        ...feeds(behind),
        `outlet:${o.id}`,
      ],
      basis: runFacts(circuit, k, true),
      disturbedBy: [...relandedUpTo(circuit, o), deviceTouched, ...(section.device ? [] : [boxOpened])],
    }),
  );
}

/**
 * A pole is through or it is not; whether its joints are good shows only under load. The limit grows with what a long thin
 * cable must show, so that a sound one is never called open.
 */
export function through(expected: number | null | boolean): Judging {
  const predicted = typeof expected === 'number' ? expected : 0;
  const upper = Number(Math.max(1, 2 * predicted).toFixed(2));
  const over = lineOver(predicted, readingLimits.conductorLook.value);
  return {
    limit: { upper, text: `through: no more than ${upper} Ω; a loose joint shows only under load` },
    look: { over, text: 'Higher than this circuit predicts: look at the screws and the strands on the way.' },
  };
}
