import type { EntryOf } from '../../logbook/entry.js';
import { localTime, type TimeZone } from '../../logbook/time-zone.js';
import type { Assessment } from '../../steps/assessment.js';
import type { StageId } from '../../steps/step.js';
import { parseSubject } from '../../steps/subject.js';
import type { Block, Section } from './block.js';
import { subjectTitle } from './cover.js';
import type { RecordInput } from './record-input.js';
import { shortTime } from './when.js';

/** The photos of a stage's steps, to stand behind them; nothing where none was taken. */
export function stagePhotos(job: Assessment, stage: StageId, zone: TimeZone): Block[] {
  return photoBlock(job, zone, (entry) => stageOf(job, entry) === stage);
}

/** The photos that no step of this record has: of readings, of free places, of steps that are gone. No section where there are none. */
export function otherPhotoSection(job: Assessment, { zone }: RecordInput): Section[] {
  const blocks = photoBlock(job, zone, (entry) => stageOf(job, entry) === undefined);
  return blocks.length === 0 ? [] : [{ title: 'Other photos', blocks }];
}

/** The printed number of a photo, from 1 in the order taken; 0 where the job has no such photo. */
export function photoNumber(job: Assessment, id: string): number {
  return printedPhotos(job).findIndex((entry) => entry.body.photo === id) + 1;
}

type Photo = EntryOf<'photo added'>;

/** Each with its number and what it shows. */
function photoBlock(job: Assessment, zone: TimeZone, isWanted: (entry: Photo) => boolean): Block[] {
  const photos = printedPhotos(job).flatMap((entry, k) =>
    isWanted(entry)
      ? [
          {
            id: entry.body.photo,
            caption: `${k + 1}  ${entry.body.caption || subjectTitle(job, entry.subject)}`,
            note: `${entry.body.caption ? subjectNumber(job, entry) : ''}${entry.by.name}, ${shortTime(entry.at, zone)} ${localTime(entry.at, zone).letters}`,
            widthPx: entry.body.widthPx,
            heightPx: entry.body.heightPx,
          },
        ]
      : [],
  );
  return photos.length === 0 ? [] : [{ kind: 'photos', photos }];
}

/** Every photo of the job in the order taken, each once. */
function printedPhotos({ log }: Assessment): Photo[] {
  return log.photos.filter(
    (entry, k) => log.photos.findIndex((e) => e.body.photo === entry.body.photo) === k,
  );
}

function stageOf(job: Assessment, entry: Photo): StageId | undefined {
  return stepOf(job, entry)?.stage;
}

/** "S8, " where the photo belongs to a step that stands, and its caption does not say so itself. */
function subjectNumber(job: Assessment, entry: Photo): string {
  const number = stepOf(job, entry)?.number;
  return number === undefined || entry.body.caption.startsWith(`${number} `) ? '' : `${number}, `;
}

function stepOf(job: Assessment, { subject: text }: Photo) {
  const subject = parseSubject(text);
  return subject?.of === 'step' ? job.steps.get(subject.id)?.step : undefined;
}
