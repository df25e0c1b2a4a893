import { placeWords } from '../../circuit/place-words.js';
import { capital } from '../../circuit/quantity-text.js';
import { placesOf } from '../../drawing/place.js';
import { disturbanceSchema } from '../../logbook/entry.js';
import type { Assessment, DefectStanding } from '../../steps/assessment.js';
import { planOf } from '../../steps/plan-of.js';
import { readingsLeftOut } from '../../steps/readings-file-of.js';
import { parseSubject, type Subject } from '../../steps/subject.js';
import { seenBelow, subjectWords } from '../../steps/subject-words.js';
import { jobAnswer } from '../../steps/suspects.js';
import type { WorkAt } from '../job/job-at.js';
import { cautionsOf } from '../step/step-model.js';
import { disturbanceWords } from '../words/entry-words.js';
import { jobPath, whenText } from '../words/job-words.js';
import { nextInJobModel } from './next-in-job-model.js';
import { suspectModels, suspectsNow } from './suspect-model.js';

/** The field of the outlets at which a conductor was landed again. */
export const disturbanceField = 'disturbs.outlet';

/** Nobody opens a box to look for a wrong wire before the plug is out and the circuit proven dead. */
const beforeOpening = ['mains-kills', 'plug-out-first', 'work-dead', 'other-source-off'] as const;

/** The page of all defects, and the form that raises one by hand about `about` (a subject of the logbook). */
export function defectsModel({ number, job }: WorkAt, about: string | undefined) {
  const list = (pick: (d: DefectStanding) => boolean) =>
    job.defects.filter(pick).map((d) => line(number, job, d));
  return {
    title: 'Defects',
    labels: { about: 'Where', what: 'What is wrong' },
    number,
    backTo: 'job',
    open: list((d) => d.status !== 'closed'),
    closed: list((d) => d.status === 'closed'),
    about: about ?? '',
    subjects: subjectOptions(job),
  };
}

/** The frame of the word for each standing. */
const lookOf = {
  open: 'fail',
  'reworked, to be tested again': 'open',
  closed: 'done',
} as const satisfies Record<DefectStanding['status'], string>;

function line(number: string, job: Assessment, { defect, status, title }: DefectStanding) {
  return {
    title: subjectWords(defect.subject, planOf(job.circuit)),
    what: seenBelow(title, defect.body.what),
    status,
    look: lookOf[status],
    href: jobPath(number, 'defects', defect.seq),
  };
}

function subjectOptions(job: Assessment) {
  return [
    ...placesOf(job.circuit).map((p) => ({
      value: `place:${p}`,
      label: `Place: ${placeWords(job.circuit, p)}`,
    })),
    ...[...job.steps.values()].map(({ step }) => ({
      value: `step:${step.id}`,
      label: `Step ${step.number} ${step.title}`,
    })),
  ];
}

/** One defect: what failed, what the readings point to, and the form of its mend. */
export function defectModel({ number, job, zone }: WorkAt, seq: number) {
  const found = job.defects.find((d) => d.defect.seq === seq) as DefectStanding;
  const { defect, rework, status, title } = found;
  const about = parseSubject(defect.subject);
  const ofReading = about?.of === 'reading';
  const together = openTogether(job, found);
  // What only a person saw, no reading speaks of.
  const answer = ofReading && status === 'open' ? jobAnswer(job) : undefined;
  return {
    title: `Defect of entry ${seq}`,
    heading: `Defect: ${subjectWords(defect.subject, planOf(job.circuit))}`,
    labels: {
      together: 'What this mend answers',
      found: 'What was found',
      done: 'What was done',
      disturbs: 'What the mend disturbed',
    },
    wide: true,
    backTo: { href: jobPath(number, 'defects'), label: 'Defects' },
    aboutHref: ownPage(number, job, defect.subject),
    cautions:
      status === 'closed' || isBeforeWiring(job, about)
        ? undefined
        : cautionsOf(beforeOpening, { live: false }),
    again:
      status !== 'reworked, to be tested again'
        ? undefined
        : ofReading
          ? 'Take the reading again'
          : 'Open the step again',
    what: together.length > 1 ? '' : seenBelow(title, defect.body.what),
    together: together.map((d) => ({ value: d.defect.seq, label: d.defect.body.what })),
    by: defect.by.name,
    when: whenText(defect.at, zone),
    status,
    look: lookOf[status],
    suspects: suspectModels(job.circuit, suspectsNow(answer, defect.body.suspects)),
    askFirst: answer?.askFirst.map((a) => a.text) ?? [],
    parting: answer && nextInJobModel(number, job, answer),
    leftOut: answer ? readingsLeftOut(job).map((r) => `${r.planned.code} ${r.planned.title}: ${r.why}.`) : [],
    rework: rework && {
      found: rework.body.found,
      done: rework.body.done,
      disturbed: rework.body.disturbs.map((d) => outletNamed(job, disturbanceWords[d.what], d.outlet)),
      by: rework.by.name,
      when: whenText(rework.at, zone),
      opens: jobPath(number, 'changes', rework.seq),
    },
    action: jobPath(number, 'defects', seq, 'rework'),
    disturbances: disturbanceSchema.shape.what.options.map((value) => ({
      value,
      label: capital(disturbanceWords[value]),
    })),
    outletField: disturbanceField,
    outlets: job.circuit.run.map((o, k) => ({ value: o.id, label: `Outlet ${k + 1}, ${o.place}` })),
  };
}

/** The defects that stand open on the same step or reading as this one, this one among them: a mend may answer them together. */
export function openTogether(job: Assessment, { defect, status }: DefectStanding): DefectStanding[] {
  if (status !== 'open') return [];
  return job.defects.filter((d) => d.status === 'open' && d.defect.subject === defect.subject);
}

function isBeforeWiring(job: Assessment, about: Subject | undefined): boolean {
  const stage = about?.of === 'step' ? job.steps.get(about.id)?.step.stage : undefined;
  return stage === 'sheet' || stage === 'placement' || stage === 'opening';
}

/** The page of the reading or the step that a defect is about, while the circuit calls for it. */
export function ownPage(number: string, job: Assessment, subject: string): string | undefined {
  const about = parseSubject(subject);
  if (about?.of === 'reading' && job.readings.has(about.id)) return jobPath(number, 'readings', about.id);
  return about?.of === 'step' && job.steps.has(about.id) ? jobPath(number, 'steps', about.id) : undefined;
}

function outletNamed(job: Assessment, words: string, outlet: string | undefined): string {
  const k = job.circuit.run.findIndex((o) => o.id === outlet);
  return k < 0 ? words : `${words} (outlet ${k + 1})`;
}
