import type { CircuitDefect, CircuitDrawingInput, CircuitHold } from './circuit-progress.js';
import { type Place, placesOf } from './place.js';
import type { MarkLabel } from './place-labels.js';

/** What is wrong and what is held at a place; several holds at one place are one bar that names how many. */
export function marksAt(
  input: CircuitDrawingInput,
  place: Place,
): { defects: CircuitDefect[]; hold: CircuitHold | undefined } {
  const defects = input.defects.filter((d) => d.place === place);
  const holds = input.holds.filter((h) => h.place === place);
  return { defects, hold: holds[0] && { place, word: joinWords(holds.map((h) => h.word)) } };
}

/** The words above the run, one a mark; the bond carries its own. */
export function markLabels(
  input: CircuitDrawingInput,
  whereIs: (place: Place) => { readonly defect: number; readonly hold: number } | undefined,
): MarkLabel[] {
  return placesOf(input.circuit).flatMap((place): MarkLabel[] => {
    const at = whereIs(place);
    const { defects, hold } = marksAt(input, place);
    if (!at) return [];
    return [
      ...(hold ? [{ anchorX: at.hold, word: hold.word, look: 'hold' as const }] : []),
      ...(defects.length > 0
        ? [{ anchorX: at.defect, word: joinWords(defects.map((d) => d.word)), look: 'defect' as const }]
        : []),
    ];
  });
}

function joinWords(words: readonly string[]): string {
  return words.length <= 1 ? (words[0] ?? '') : `${words[0]} and ${words.length - 1} more`;
}
