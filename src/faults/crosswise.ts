import type { Reading } from '../meter/readings-file.js';
import { between } from './taken.js';

/**
 * How much less likely yet than one misread figure it is that both poles between two places were misread (logarithm): one slip does
 * it, a test plug held or made crosswise, or a device landed anew after its dead tests. @source judgement of this project, no source
 */
export const crosswise = -2;

/** Dead readings of hot and of neutral between the same two places, each pair by index. */
export function polesOf(readings: readonly Reading[]): [hot: number, neutral: number][] {
  const at = (a: string, b: string) => readings.findIndex((r) => r.test === 'resistance' && between(r, a, b));
  return readings.flatMap((r, hot): [number, number][] => {
    if (r.test !== 'resistance' || !r.from.endsWith('.hot') || !r.to.endsWith('.hot')) return [];
    const neutral = at(r.from.replace(/hot$/, 'neutral'), r.to.replace(/hot$/, 'neutral'));
    return neutral < 0 ? [] : [[hot, neutral]];
  });
}
