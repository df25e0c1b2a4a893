import { type Box, boxText } from '../../circuit/box.js';
import { type Circuit, type Load, loadAmps, type Outlet, words } from '../../circuit/circuit.js';
import { cordText } from '../../circuit/owner-facts.js';
import {
  ampsText,
  celsiusText,
  gaugeAreaText,
  metresText,
  millimetresText,
  numberText,
  torqueText,
  volumeText,
} from '../../circuit/quantity-text.js';
import { lengthUnitOf } from '../../circuit/units.js';
import { unitsFirst } from '../../circuit/units-first.js';
import { bodyPlacement } from '../../drawing/body-placement.js';
import { circuitDrawing } from '../../drawing/circuit-drawing.js';
import { circuitProfile } from '../../drawing/circuit-profile.js';
import type { CircuitDrawingInput } from '../../drawing/circuit-progress.js';
import { jobProgress } from '../../drawing/job-progress.js';
import type { Assessment } from '../../steps/assessment.js';
import { type Cell, heading, lines, muted, type Section, strong, table } from './block.js';
import type { RecordInput } from './record-input.js';

/** The circuit as it was built: one drawing, the parts, and the run outlet by outlet. */
export function circuitSection(job: Assessment, input: RecordInput): Section {
  const { circuit } = job;
  const lengthUnit = lengthUnitOf(input.units);
  return {
    title: 'Circuit',
    blocks: [
      { kind: 'scene', scene: circuitDrawing(drawn(job, lengthUnit)) },
      {
        kind: 'scenes',
        titled: true,
        scenes: [
          bodyPlacement({ inlet: circuit.inlet, lengthUnit }),
          circuitProfile(circuit, { layout: 'wide', lengthUnit }),
        ],
      },
      heading('Parts'),
      { kind: 'pairs', rows: parts(circuit, (text) => unitsFirst(text, input.units)) },
      heading('The run, in the order of the current'),
      table(
        'Each outlet with its device, feed, box and loads',
        [
          ['Outlet', 5],
          ['Device', 5],
          ['Feed', 4],
          ['Box', 5],
          ['Loads', 7],
        ],
        circuit.run.map((outlet, k) => outletRow(circuit, outlet, k + 1, input.units)),
      ),
    ],
  };
}

/** The same drawing as on the job's page. Its one standing hold is the issue itself, which this record ends. */
function drawn(job: Assessment, lengthUnit: 'm' | 'ft'): CircuitDrawingInput {
  const { progress, defects } = jobProgress(job);
  return {
    circuit: job.circuit,
    layout: 'wide',
    progress,
    defects,
    holds: [],
    lengthUnit,
  };
}

/** `say` puts the shop's units first; what a person typed does not go through it. */
function parts(circuit: Circuit, say: (text: string) => string): [string, string][] {
  const { supply, inlet, entry, breaker, inletWire, bond, cable } = circuit;
  const entryParts = [
    words.entry[entry.kind],
    say(`hole ${millimetresText(entry.holeMm)}`),
    entry.coversWholeEdge ? 'the whole edge covered' : '',
  ];
  return [
    ['Supply', `${supply.volts} V, receptacle of ${supply.amps} A`],
    ['Cord', say(cordText(circuit))],
    [
      'Inlet',
      joined(
        `${inlet.amps} A`,
        words.side[inlet.side],
        say(`${metresText(inlet.fromRearM)} from the rear`),
        say(`${metresText(inlet.heightM)} above ground`),
        `in ${words.panel[inlet.panel]}`,
        inlet.locking ? 'locking' : '',
        say(markedText(inlet.torqueNm)),
      ),
    ],
    ...boxRow('Box of the inlet', inlet.box, say),
    ['Behind the panel', inlet.behindPanel],
    ['Entry', joined(...entryParts)],
    ['Breaker', joined(`${breaker.amps} A`, breaker.place, say(markedText(breaker.torqueNm)))],
    ...boxRow('Box of the breaker', breaker.box, say),
    ...(inletWire === undefined
      ? []
      : [
          [
            'Inlet to breaker',
            joined(
              gaugeAreaText(inletWire.awg),
              say(metresText(inletWire.lengthM)),
              say(`${millimetresText(inletWire.outsideDiameterMm)} across`),
            ),
          ] as [string, string],
        ]),
    ['Bond to the chassis', joined(gaugeAreaText(bond.awg), say(metresText(bond.lengthM)))],
    [
      'Cable',
      joined(
        words.cableMethod[cable.method],
        words.strands[cable.strands],
        `insulation ${cable.insulationC} °C`,
        `terminals ${cable.terminalsC} °C`,
        say(`${millimetresText(cable.outsideDiameterMm)} across`),
        say(`hottest place ${celsiusText(cable.hottestPlaceC)}`),
      ),
    ],
    [
      'Supports and bends',
      joined(
        say(`every ${metresText(cable.supportSpacingM)}`),
        say(`${metresText(cable.supportFromBoxM)} from a box`),
        say(`bends of ${millimetresText(cable.bendRadiusMm)} or more`),
      ),
    ],
    [
      'Other sources',
      circuit.otherSources.length === 0
        ? 'none'
        : circuit.otherSources
            .map((s) =>
              joined(`${words.otherSource[s.kind]}, kept off by ${words.keptOff[s.keptOff]}`, s.note),
            )
            .join('; '),
    ],
    ...(circuit.note === '' ? [] : [['Note', circuit.note] as [string, string]]),
  ];
}

/** No row for a box that was not described. */
function boxRow(title: string, box: Box | undefined, say: (text: string) => string): [string, string][] {
  if (box === undefined) return [];
  const depth = box.depthMm === undefined ? '' : say(`${millimetresText(box.depthMm)} deep`);
  return [[title, joined(say(volumeText(box.volumeCm3)), depth, boxText(box))]];
}

function markedText(torqueNm: number | undefined): string {
  return torqueNm === undefined ? '' : `screws marked ${torqueText(torqueNm)}`;
}

function outletRow(circuit: Circuit, outlet: Outlet, number: number, units: RecordInput['units']): Cell[] {
  const gfci = outlet.device === 'gfci-receptacle';
  return [
    lines(strong(`Outlet ${number}`), outlet.place),
    lines(
      `${words.deviceKind[outlet.device]}, ${outlet.amps} A`,
      muted(words.terminals[outlet.terminals]),
      gfci ? muted(words.openNeutral[outlet.openNeutral]) : undefined,
      gfci && outlet.selfTest ? muted('tests itself') : undefined,
    ),
    lines(gaugeAreaText(outlet.feed.awg), unitsFirst(metresText(outlet.feed.lengthM), units)),
    lines(unitsFirst(volumeText(outlet.box.volumeCm3), units), muted(boxText(outlet.box))),
    outlet.loads.length === 0
      ? 'none named'
      : outlet.loads.map((load) => ({ text: loadText(circuit, load) })),
  ];
}

function loadText(circuit: Circuit, load: Load): string {
  const size =
    load.watts === undefined
      ? ampsText(loadAmps(circuit, load))
      : `${numberText(load.watts, 0)} W, ${ampsText(loadAmps(circuit, load))}`;
  return joined(
    `${load.name}: ${size}`,
    load.continuous ? 'continuous' : '',
    load.fastened ? 'fastened' : '',
    load.heats ? 'heats' : '',
  );
}

function joined(...said: readonly string[]): string {
  return said.filter((part) => part !== '').join(', ');
}
