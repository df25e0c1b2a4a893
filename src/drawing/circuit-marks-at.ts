import type { CircuitDefect, CircuitDrawingInput, CircuitHold } from './circuit-progress.js';
import { type Place, placesOf } from './place.js';
import type { MarkLabel } from './place-labels.js';

/**
 * What is wrong and what is held at a place; several holds at one place are one bar that names how many, and several defects are
 * said in one word too.
 */
export function marksAt(
  input: CircuitDrawingInput,
  place: Place,
): { defects: CircuitDefect[]; wrong: string | undefined; hold: CircuitHold | undefined } {
  const defects = input.defects.filter((d) => d.place === place);
  const holds = input.holds.filter((h) => h.place === place);
  return {
    defects,
    wrong: defects[0] && joinWords(defects.map((d) => d.word)),
    hold: holds[0] && { place, word: joinWords(holds.map((h) => h.word)) },
  };
}

/** The words above the run, one a mark; the bond carries its own. */
export function markLabels(
  input: CircuitDrawingInput,
  whereIs: (place: Place) => { readonly defect: number; readonly hold: number } | undefined,
): MarkLabel[] {
  return placesOf(input.circuit).flatMap((place): MarkLabel[] => {
    const at = whereIs(place);
    const { wrong, hold } = marksAt(input, place);
    if (!at) return [];
    return [
      ...(hold ? [{ anchorX: at.hold, word: hold.word, look: 'hold' as const }] : []),
      ...(wrong ? [{ anchorX: at.defect, word: wrong, look: 'defect' as const }] : []),
    ];
  });
}

function joinWords(words: readonly string[]): string {
  return words.length <= 1 ? (words[0] ?? '') : `${words[0]} and ${words.length - 1} more`;
}
