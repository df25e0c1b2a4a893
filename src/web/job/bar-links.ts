import type { Bar } from '../../steps/assessment.js';
import { jobPath } from '../words/job-words.js';

/** What bars the issue, each sentence with the page where it is mended. */
export function barLinks(number: string, bars: readonly Bar[]): { text: string; href: string }[] {
  return bars.map(({ text, about }) => ({ text, href: jobPath(number, ...placeOf(about)) }));
}

function placeOf(about: Bar['about']): (string | number)[] {
  switch (about.of) {
    case 'job':
      return [];
    case 'defect':
      return ['defects', about.seq];
    case 'step':
      return ['steps', about.id];
    case 'reading':
      return ['readings', about.id];
    default:
      return [about.of];
  }
}
