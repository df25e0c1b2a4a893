import type { Step } from './step.js';

/** What an entry is about: a step, a reading, a line of the sheet, a defect's free place, or the job as a whole. */
export type Subject =
  | { readonly of: 'step' | 'reading' | 'sheet' | 'place'; readonly id: string }
  | { readonly of: 'job' };

/** What is written of a step: under its own name, and under those of its readings. */
export function subjectsOfStep({ id, readings }: Pick<Step, 'id' | 'readings'>): string[] {
  return [`step:${id}`, ...readings.map((reading) => `reading:${reading}`)];
}

/** Reads a subject as the logbook keeps it; undefined where it is none of ours. */
export function parseSubject(text: string): Subject | undefined {
  if (text === 'job') return { of: 'job' };
  const [of, ...rest] = text.split(':');
  const id = rest.join(':');
  if (id === '' || (of !== 'step' && of !== 'reading' && of !== 'sheet' && of !== 'place')) return undefined;
  return { of, id };
}
