import { z } from 'zod';

/** A text that must not be empty, of at most so many characters, without blanks around it. */
export const text = (max: number) =>
  z.string().trim().min(1, 'must not be empty').max(max, `takes at most ${max} characters`);

/** The same where nothing may be said. */
export const optionalText = (max: number) =>
  z.string().trim().max(max, `takes at most ${max} characters`).default('');
