import type { Assessment } from '../../steps/assessment.js';
import { parseSubject } from '../../steps/subject.js';
import { type Block, paragraph, type Section } from './block.js';
import { subjectTitle } from './cover.js';
import { shortTime } from './when.js';

/** Every photo of the job in the order taken, each once, with what it shows. */
export function photoSection(job: Assessment): Section {
  const photos = printedPhotos(job);
  const block: Block =
    photos.length === 0
      ? paragraph('No photo was taken.', 'muted')
      : {
          kind: 'photos',
          photos: photos.map((entry, k) => ({
            id: entry.body.photo,
            caption: `${k + 1}  ${entry.body.caption || subjectTitle(job, entry.subject)}`,
            note: `${entry.body.caption ? subjectNumber(job, entry.subject) : ''}${entry.by.name}, ${shortTime(entry.at)} UTC`,
            widthPx: entry.body.widthPx,
            heightPx: entry.body.heightPx,
          })),
        };
  return { title: 'Photos', blocks: [block] };
}

/** The printed number of a photo, from 1; 0 where the job has no such photo. */
export function photoNumber(job: Assessment, id: string): number {
  return printedPhotos(job).findIndex((entry) => entry.body.photo === id) + 1;
}

function printedPhotos({ log }: Assessment) {
  return log.photos.filter(
    (entry, k) => log.photos.findIndex((e) => e.body.photo === entry.body.photo) === k,
  );
}

/** "S8, " where the photo belongs to a step that stands. */
function subjectNumber(job: Assessment, subjectText: string): string {
  const subject = parseSubject(subjectText);
  const number = subject?.of === 'step' ? job.steps.get(subject.id)?.step.number : undefined;
  return number === undefined ? '' : `${number}, `;
}
