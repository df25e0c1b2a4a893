import { z } from 'zod';
import { text } from '../circuit/text-field.js';

/**
 * A signature as given: strokes in a box of 600 by 200 units where it was drawn, or the typed name where it was not.
 * Kept as numbers, so that nothing but a line can ever be drawn from it.
 */
export const signatureSchema = z.object({
  name: text(80),
  strokes: z
    .array(
      z
        .array(z.tuple([z.number().min(0).max(600), z.number().min(0).max(200)]))
        .min(1)
        .max(2000),
    )
    .max(200)
    .default([]),
});
export type Signature = z.output<typeof signatureSchema>;
