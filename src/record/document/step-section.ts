import { listText } from '../../circuit/quantity-text.js';
import { deviceBack } from '../../drawing/device-back.js';
import type { Place } from '../../drawing/place.js';
import type { Answer, EntryOf } from '../../logbook/entry.js';
import { type TimeZone, zoneNote } from '../../logbook/time-zone.js';
import type { Assessment, StepStanding } from '../../steps/assessment.js';
import { type Ask, issueStepId, type Step } from '../../steps/step.js';
import {
  type Block,
  type Cell,
  type CellLine,
  group,
  lines,
  muted,
  paragraph,
  type Row,
  type Section,
  strong,
  table,
} from './block.js';
import { photoNumber, stagePhotos } from './photo-section.js';
import type { RecordInput } from './record-input.js';
import { answerText, limitText } from './shown-text.js';
import { shortTime, writtenTimes } from './when.js';

/**
 * Every step, stage by stage, with the photos of a stage behind its steps: what was written down, by whom and when. Terminations have
 * a section of their own, and their photos with them.
 */
export function stepSection(job: Assessment, input: RecordInput): Section {
  return {
    title: 'Steps',
    blocks: [
      paragraph(
        `${zoneNote(input.zone)} What a step asks in full stands in the tool, under the same number.`,
        'muted',
      ),
      ...(job.log.photos.length === 0 ? [paragraph('No photo was taken.', 'muted')] : []),
      ...stageBlocks(job, input),
    ],
  };
}

/** Every conductor and screw: what was asked, what it got, with what, by whom. */
export function terminationSection(job: Assessment, input: RecordInput): Section {
  const steps = job.stages
    .flatMap((stage) => stage.steps)
    .filter((s) => s.step.stage === 'terminations' || s.step.asks.some(isTorque));
  const places: Place[] = ['inlet', 'breaker', ...job.circuit.run.map((o): Place => `outlet:${o.id}`)];
  return {
    title: 'Terminations',
    blocks: [
      {
        kind: 'scenes',
        titled: false,
        scenes: places.map((place) => deviceBack({ circuit: job.circuit, place })),
      },
      table(
        'Each termination with what was measured, its limit and the tool',
        [
          ['Conductor or screw', 11],
          ['Written down', 5.4],
          ['Limit', 8.2],
          ['With', 3.4],
        ],
        steps.flatMap(({ step, done }) =>
          done === undefined
            ? []
            : group(
                `${step.number}  ${step.title}`,
                terminationRows(step, done, job, input),
                `${done.by.name}, ${shortTime(done.at, input.zone)}`,
              ),
        ),
      ),
      ...stagePhotos(job, 'terminations', input.zone),
    ],
  };
}

/** A table goes on over stages until one of them has photos to show. */
function stageBlocks(job: Assessment, input: RecordInput): Block[] {
  const blocks: Block[] = [];
  let titles: string[] = [];
  let rows: Row[] = [];
  const endTable = () => {
    if (rows.length > 0) blocks.push(stepTable(titles, rows));
    titles = [];
    rows = [];
  };
  for (const stage of job.stages) {
    titles.push(stage.title);
    rows.push(...group(stage.title, stageRows(stage, job, input)));
    const photos = stage.id === 'terminations' ? [] : stagePhotos(job, stage.id, input.zone);
    if (photos.length === 0) continue;
    endTable();
    blocks.push(...photos);
  }
  endTable();
  return blocks;
}

/** A row a step. Terminations that went as they should stand together in one, since each is told in full in its own section. */
function stageRows({ id, steps }: Assessment['stages'][number], job: Assessment, input: RecordInput): Row[] {
  const apart = steps.filter((s) => id === 'terminations' && isPlainlyDone(s, job));
  const rows: Row[] = steps.filter((s) => !apart.includes(s)).map((s) => stepRow(s, job, input));
  if (apart.length === 0) return rows;
  const numbers = listText(apart.map((s) => s.step.number));
  return [...rows, { note: `${numbers}: done; what, by whom and when stands under Terminations.` }];
}

function isPlainlyDone({ step, done, reopened, concession }: StepStanding, job: Assessment): boolean {
  return (
    done !== undefined && reopened.length === 0 && concession === undefined && timesReopened(job, step) === 0
  );
}

function timesReopened(job: Assessment, step: Step): number {
  return (job.log.steps.get(`step:${step.id}`) ?? []).filter((e) => e.kind === 'step reopened').length;
}

function stepTable(titles: readonly string[], rows: readonly Row[]): Block {
  return table(
    `The steps of ${listText(titles)}`,
    [
      ['No.', 2],
      ['Step, and what was written down', 17],
      ['By, when', 5],
    ],
    rows,
  );
}

function stepRow(standing: StepStanding, job: Assessment, input: RecordInput): Cell[] {
  const { step, done, reopened, concession } = standing;
  const apart = step.stage === 'terminations';
  const earlier = timesReopened(job, step);
  return [
    lines(strong(step.number)),
    lines(
      strong(step.title),
      ...(done === undefined ? [] : apart ? [muted('see Terminations')] : written(standing, job, input)),
      ...reopened.map((why) => muted(`Open again: ${why}`)),
      earlier > 0
        ? muted(`Opened again ${earlier === 1 ? 'once' : `${earlier} times`}; the logbook says why.`)
        : undefined,
      concession && muted(`Conceded by ${concession.by.name}, see page 1.`),
    ),
    byWhom(standing, job, input.zone),
  ];
}

/** Ticks in one line, everything else a line each. */
function written({ step, done }: StepStanding, job: Assessment, input: RecordInput): CellLine[] {
  const answers = Object.entries(done?.body.answers ?? {});
  const label = (id: string) => step.asks.find((a) => a.id === id)?.label ?? id;
  const ticked = answers.filter(([, a]) => a.kind === 'tick').map(([id]) => label(id));
  const others = answers
    .filter(([, a]) => a.kind !== 'tick')
    .map(([id, answer]) => {
      const ask = step.asks.find((a) => a.id === id);
      const limit = ask ? limitText(ask, answer) : '';
      const tool = withWhat(answer, toolsOf(done, input));
      const beside = [limit && `limit ${limit}`, tool && `with ${tool}`].filter((t) => t !== '');
      return {
        text: [`${label(id)}: ${said(ask, answer, job)}`, ...beside].join('; '),
      };
    });
  return [...(ticked.length === 0 ? [] : [{ text: `Done: ${ticked.join('; ')}.` }]), ...others];
}

/** As written down; photos by the number that they have in this record. */
function said(ask: Ask | undefined, answer: Answer, job: Assessment): string {
  if (answer.kind !== 'photo') return answerText(ask, answer);
  return listText(answer.photos.map((id) => `photo ${photoNumber(job, id)}`));
}

function byWhom({ step, status, done }: StepStanding, job: Assessment, zone: TimeZone): Cell {
  if (done !== undefined) return lines(done.by.name, ...writtenTimes(done, zone));
  if (step.id === issueStepId) return lines(muted('by this record'));
  if (step.waitsFor.includes(issueStepId)) return lines(muted('after the issue'));
  if (step.conditional !== undefined && status !== 'done')
    return lines(muted('left out; it is asked only where:'), muted(step.conditional));
  if (step.readings.length > 0) {
    const last = step.readings
      .flatMap((id) => job.readings.get(id)?.taken ?? [])
      .sort((a, b) => a.seq - b.seq)
      .at(-1);
    return last
      ? lines(last.by.name, muted(shortTime(last.at, zone)), muted('by its readings'))
      : lines(muted('by its readings'));
  }
  return step.sheetLines === undefined ? lines(muted(status)) : lines(muted('computed'));
}

/** What was measured and what was chosen in a row each; ticks and photos together under them. */
function terminationRows(step: Step, done: EntryOf<'step done'>, job: Assessment, input: RecordInput): Row[] {
  const asks = step.asks.filter(
    (ask) => done.body.answers[ask.id] !== undefined && (step.stage === 'terminations' || isTorque(ask)),
  );
  const answerTo = (ask: Ask) => done.body.answers[ask.id] as Answer;
  const tools = toolsOf(done, input);
  const ticks = asks.filter((ask) => ask.kind === 'tick').map((ask) => ask.label);
  const photos = asks
    .filter((ask) => ask.kind === 'photo')
    .map((ask) => `${ask.label}: ${said(ask, answerTo(ask), job)}.`);
  const notes = [...(ticks.length === 0 ? [] : [`Done: ${ticks.join('; ')}.`]), ...photos];
  return [
    ...asks
      .filter((ask) => ask.kind !== 'tick' && ask.kind !== 'photo')
      .map((ask): Row => {
        const text = answerText(ask, answerTo(ask));
        // What was chosen has neither limit nor tool, and is a sentence: it needs the width.
        return ask.kind === 'value'
          ? [ask.label, lines(strong(text)), limitText(ask, answerTo(ask)), toolNumber(answerTo(ask), tools)]
          : { note: `${ask.label}: ${text}` };
      }),
    ...(notes.length === 0 ? [] : [{ note: notes.join(' ') }]),
  ];
}

function isTorque(ask: Ask): boolean {
  return ask.kind === 'value' && ask.quantity === 'torque';
}

/** An instrument as a step may name it. */
type Tool = Pick<NonNullable<RecordInput['instruments']>[number], 'id' | 'name' | 'serial'>;

/** As the entry keeps it, and else as the shop has it today: a job that came from elsewhere was measured with no tool of this shop. */
function toolsOf(done: EntryOf<'step done'> | undefined, { instruments = [] }: RecordInput): readonly Tool[] {
  return [...(done?.body.instruments ?? []), ...instruments];
}

function withWhat(answer: Answer, tools: readonly Tool[]): string {
  const found = toolOf(answer, tools);
  return found ? `${found.name}, ${found.serial}` : '';
}

/** The tool by its serial number, under which the instruments are listed; by its name where it has none. */
function toolNumber(answer: Answer, tools: readonly Tool[]): string {
  const found = toolOf(answer, tools);
  return found?.serial || (found?.name ?? '');
}

function toolOf(answer: Answer, tools: readonly Tool[]): Tool | undefined {
  if (answer.kind !== 'value' || answer.instrument === undefined) return undefined;
  return tools.find((i) => i.id === answer.instrument);
}
