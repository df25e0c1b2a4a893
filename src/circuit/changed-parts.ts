import { type Circuit, type Load, type Outlet, outletNumber, words } from './circuit.js';
import {
  ampsText,
  celsiusText,
  gaugeText,
  listText,
  metresText,
  millimetresText,
  numberText,
  torqueText,
  volumeText,
} from './quantity-text.js';

/** One part of the circuit that was set differently. `path` names an outlet by its identity: `run.bench.feed.awg`. */
interface ChangedPart {
  readonly path: string;
  readonly label: string;
  readonly from: string;
  readonly to: string;
}

/** What a new version of the circuit changes, in the trade's words; in the order of the circuit. */
export function changedParts(before: Circuit, after: Circuit): ChangedPart[] {
  return [
    ...sections.flatMap(([path, label]) =>
      comparedFields(path, label, sectionOf(before, path), sectionOf(after, path)),
    ),
    ...changedRun(before, after),
    ...changedLists(before, after),
    ...comparedFields('', '', { note: before.note }, { note: after.note }),
  ];
}

const sections = [
  ['', ''],
  ['supply', 'supply'],
  ['cord', 'cord'],
  ['inlet', 'inlet'],
  ['inlet.box', 'inlet · box'],
  ['entry', 'entry'],
  ['breaker', 'breaker'],
  ['breaker.box', 'breaker · box'],
  ['inletWire', 'wire from the inlet to the breaker'],
  ['bond', 'bond'],
  ['cable', 'cable'],
] as const;

type Fields = Readonly<Record<string, unknown>>;

function sectionOf(circuit: Circuit, path: (typeof sections)[number][0]): Fields {
  if (path === '') return { vehicleUse: circuit.vehicleUse };
  if (path === 'inlet.box') return { ...circuit.inlet.box };
  if (path === 'breaker.box') return { ...circuit.breaker.box };
  const { box: _counted, ...own } = { box: undefined, ...circuit[path] };
  return own;
}

function comparedFields(path: string, label: string, before: Fields, after: Fields): ChangedPart[] {
  const keys = [...new Set([...Object.keys(before), ...Object.keys(after)])];
  return keys.flatMap((key) => {
    if (Object.is(before[key], after[key])) return [];
    const [name, text] = fieldWords[key as FieldName];
    const said = (value: unknown) =>
      value === undefined || value === '' ? 'not given' : text(value as never);
    return [
      {
        path: path === '' ? key : `${path}.${key}`,
        label: label === '' ? name : `${label} · ${name}`,
        from: said(before[key]),
        to: said(after[key]),
      },
    ];
  });
}

function changedRun(before: Circuit, after: Circuit): ChangedPart[] {
  const gone = before.run.filter((o) => outletNumber(after, o.id) === 0);
  const kept = before.run.filter((o) => outletNumber(after, o.id) > 0).map((o) => o.id);
  const keptNow = after.run.filter((o) => outletNumber(before, o.id) > 0).map((o) => o.id);
  return [
    ...gone.map((o) => ({
      path: `run.${o.id}`,
      label: 'outlet taken out',
      from: outletText(before, o),
      to: 'not there',
    })),
    ...(kept.join() === keptNow.join()
      ? []
      : [
          {
            path: 'run',
            label: 'order of the outlets',
            from: orderText(before, kept),
            to: orderText(after, keptNow),
          },
        ]),
    ...after.run.flatMap((o) => {
      const was = before.run.find((p) => p.id === o.id);
      if (was) return changedOutlet(was, o, `outlet ${outletNumber(after, o.id)}`);
      return [{ path: `run.${o.id}`, label: 'outlet added', from: 'not there', to: outletText(after, o) }];
    }),
  ];
}

function changedOutlet(before: Outlet, after: Outlet, label: string): ChangedPart[] {
  const path = `run.${after.id}`;
  const own = ({ feed: _feed, box: _box, loads: _loads, id: _id, ...rest }: Outlet): Fields => rest;
  return [
    ...comparedFields(path, label, own(before), own(after)),
    ...comparedFields(`${path}.feed`, `${label} · feed`, before.feed, after.feed),
    ...comparedFields(`${path}.box`, `${label} · box`, before.box, after.box),
    ...comparedTexts(
      `${path}.loads`,
      `${label} · loads`,
      before.loads.map(loadText),
      after.loads.map(loadText),
    ),
  ];
}

function changedLists(before: Circuit, after: Circuit): ChangedPart[] {
  return [
    ...comparedTexts(
      'otherSources',
      'other sources',
      before.otherSources.map(sourceWords),
      after.otherSources.map(sourceWords),
    ),
    ...comparedTexts('together', 'what may run together', setTexts(before), setTexts(after)),
  ];
}

function comparedTexts(path: string, label: string, before: string[], after: string[]): ChangedPart[] {
  const [from, to] = [before.join('; ') || 'none', after.join('; ') || 'none'];
  return from === to ? [] : [{ path, label, from, to }];
}

function outletText(circuit: Circuit, o: Outlet): string {
  return `outlet ${outletNumber(circuit, o.id)}, ${o.place}, ${words.deviceKind[o.device]}`;
}

function orderText(circuit: Circuit, ids: readonly string[]): string {
  return ids.map((id) => circuit.run.find((o) => o.id === id)!.place).join(', then ');
}

function loadText(l: Load): string {
  const size = l.amps === undefined ? `${numberText(l.watts ?? 0, 1)} W` : ampsText(l.amps);
  const traits = [l.continuous && 'three hours or more', l.fastened && 'fastened', l.heats && 'heats'];
  return [`${l.name} ${size}`, ...traits.filter((t) => t !== false)].join(', ');
}

function sourceWords(s: Circuit['otherSources'][number]): string {
  const said = [words.otherSource[s.kind], `kept off by ${words.keptOff[s.keptOff]}`];
  if (s.metalCase) said.push('metal case');
  if (s.note !== '') said.push(s.note);
  return said.join(', ');
}

function setTexts(circuit: Circuit): string[] {
  return circuit.together.map((set) => `${set.name}: ${listText(set.loads.map((m) => m.load))}`);
}

const yesNo = (value: boolean) => (value ? 'yes' : 'no');
const worded = (list: Readonly<Record<string, string>>) => (value: string) => list[value] ?? value;

type Plain<T> = {
  [K in keyof T]-?: NonNullable<T[K]> extends string | number | boolean ? K : never;
}[keyof T];
type Sections = Pick<Circuit, 'supply' | 'cord' | 'inlet' | 'entry' | 'breaker' | 'bond' | 'cable'> &
  Pick<Outlet, 'feed' | 'box'> & {
    readonly inletWire: NonNullable<Circuit['inletWire']>;
    readonly outlet: Omit<Outlet, 'id'>;
  };
/** Every field whose change is told by itself: one that is put into the schema has to be given its words here. */
type FieldName = 'vehicleUse' | 'note' | { [S in keyof Sections]: Plain<Sections[S]> }[keyof Sections];

/** Each field's name in the trade's words, and how its value is said. */
const fieldWords: Readonly<Record<FieldName, readonly [string, (value: never) => string]>> = {
  vehicleUse: ['use of the vehicle', worded(words.vehicleUse)],
  volts: ['volts', (v: number) => `${v} V`],
  amps: ['rating', ampsText],
  loopOhms: ['loop resistance', (v: number) => `${numberText(v, 3)} Ω`],
  awg: ['gauge', gaugeText],
  lengthM: ['length', metresText],
  typeLetters: ['type letters', String],
  side: ['side', worded(words.side)],
  fromRearM: ['distance from the rear', metresText],
  heightM: ['height', metresText],
  panel: ['panel', worded(words.panel)],
  behindPanel: ['what is behind the panel', String],
  locking: ['locking', yesNo],
  torqueNm: ['marked torque', torqueText],
  kind: ['kind', worded(words.entry)],
  holeMm: ['hole', millimetresText],
  clampMinMm: ['thinnest cable it takes', millimetresText],
  clampMaxMm: ['thickest cable it takes', millimetresText],
  coversWholeEdge: ['covers the whole edge', yesNo],
  place: ['place', String],
  method: ['kind of cable', worded(words.cableMethod)],
  strands: ['strands', worded(words.strands)],
  insulationC: ['insulation rating', (v: number) => `${v} °C`],
  outsideDiameterMm: ['outside diameter', millimetresText],
  hottestPlaceC: ['hottest place', celsiusText],
  terminalsC: ['rating of the terminals', (v: number) => `${v} °C`],
  supportSpacingM: ['between supports', metresText],
  supportFromBoxM: ['first support from a box', metresText],
  bendRadiusMm: ['bend radius', millimetresText],
  device: ['device', worded(words.deviceKind)],
  terminals: ['terminals', worded(words.terminals)],
  openNeutral: ['when the neutral is lost', worded(words.openNeutral)],
  selfTest: ['tests itself', yesNo],
  volumeCm3: ['volume', volumeText],
  depthMm: ['depth', millimetresText],
  material: ['material', worded(words.boxMaterial)],
  clamps: ['clamps', worded(words.clamps)],
  note: ['note', String],
};
