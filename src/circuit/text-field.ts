import { z } from 'zod';

/** What is said of a text of more characters than it may have. */
export const tooLong = (max: number) => `takes at most ${max} characters`;

/** A text that must not be empty, of at most so many characters, without blanks around it. */
export const text = (max: number) => z.string().trim().min(1, 'must not be empty').max(max, tooLong(max));

/** The same where nothing may be said. */
export const optionalText = (max: number) => z.string().trim().max(max, tooLong(max)).default('');
