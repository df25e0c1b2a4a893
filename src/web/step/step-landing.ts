import type { Answer } from '../../logbook/entry.js';
import type { Step } from '../../steps/step.js';

/** What was taken of a step, in one line: "T6 is written down: Torque 14 in-lbf, 13 ticks, 1 photo." */
export function takenLine(step: Step, answers: Readonly<Record<string, Answer>>): string {
  const given = Object.entries(answers);
  const values = given.flatMap(([id, a]) => {
    if (a.kind !== 'value') return [];
    const label = step.asks.find((ask) => ask.id === id)?.label ?? id;
    return [`${label} ${`${a.typed} ${a.unit}`.trim()}`];
  });
  const count = (kind: Answer['kind'], word: string) => {
    const n = given.filter(([, a]) => a.kind === kind).length;
    return n === 0 ? [] : [`${n} ${n === 1 ? word : `${word}s`}`];
  };
  const photos = given.reduce((sum, [, a]) => sum + (a.kind === 'photo' ? a.photos.length : 0), 0);
  const parts = [
    ...(values.length > 2 ? [`${values.length} values`] : values),
    ...count('choice', 'choice'),
    ...count('tick', 'tick'),
    ...count('person', 'name'),
    ...count('note', 'note'),
    ...(photos === 0 ? [] : [`${photos} ${photos === 1 ? 'photo' : 'photos'}`]),
  ];
  return `${step.number} is written down: ${parts.join(', ')}.`;
}
