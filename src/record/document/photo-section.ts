import type { Assessment } from '../../steps/assessment.js';
import { type Block, paragraph, type Section } from './block.js';
import { subjectTitle } from './cover.js';
import { shortTime } from './when.js';

/** Every photo of the job in the order taken, each once, with what it shows. */
export function photoSection(job: Assessment): Section {
  const seen = new Set<string>();
  const photos = job.log.photos.filter(({ body }) => !seen.has(body.photo) && seen.add(body.photo));
  const block: Block =
    photos.length === 0
      ? paragraph('No photo was taken.', 'muted')
      : {
          kind: 'photos',
          photos: photos.map((entry) => ({
            id: entry.body.photo,
            caption: entry.body.caption || subjectTitle(job, entry.subject),
            note: `${entry.body.caption ? `${subjectTitle(job, entry.subject)}. ` : ''}${entry.by.name}, ${shortTime(entry.at)} UTC`,
            widthPx: entry.body.widthPx,
            heightPx: entry.body.heightPx,
          })),
        };
  return { title: 'Photos', blocks: [block] };
}
