import { z } from 'zod';

/** What is said of a text of more characters than it may have. */
export const tooLong = (max: number) => `takes at most ${max} characters`;

/** Something that a reader sees: a letter, a figure, a mark of writing or a sign. Blanks and marks without a shape are nothing. */
const visible = /[\p{L}\p{N}\p{P}\p{S}]/u;

/** A text that must not be empty to the eye, of at most so many characters, without blanks around it. */
export const text = (max: number) =>
  z.string().trim().regex(visible, 'must not be empty').max(max, tooLong(max));

/** The same where nothing may be said. */
export const optionalText = (max: number) => z.string().trim().max(max, tooLong(max)).default('');
