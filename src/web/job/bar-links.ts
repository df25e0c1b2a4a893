import type { Assessment } from '../../steps/assessment.js';
import { jobPath } from '../words/job-words.js';

/** What bars the issue, each sentence with the page where it is mended. The sentences are the rules' own. */
export function barLinks(
  number: string,
  job: Assessment,
  bars: readonly string[],
): { text: string; href: string }[] {
  const begins: [string, string][] = [
    ...job.defects.map((d): [string, string] => [
      `Defect of entry ${d.defect.seq} (`,
      jobPath(number, 'defects', d.defect.seq),
    ]),
    ['Sheet: ', jobPath(number, 'sheet')],
    ['The job is ', jobPath(number)],
    ...[...job.steps.values()].map(({ step }): [string, string] => [
      `${step.number} ${step.title} is `,
      jobPath(number, 'steps', step.id),
    ]),
    ...[...job.readings.values()].map(({ planned }): [string, string] => [
      `${planned.code} ${planned.title} is `,
      jobPath(number, 'readings', planned.id),
    ]),
  ];
  return bars.map((text) => {
    const found = begins.find(([begin]) => text.startsWith(begin))?.[1];
    return { text, href: found ?? jobPath(number, text.includes('second look') ? 'second-look' : '') };
  });
}
