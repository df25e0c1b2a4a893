import { fileURLToPath } from 'node:url';

/** The folder that holds package.json, views and migrations: one above `src` and above `dist`. */
export const packageRoot = fileURLToPath(new URL('..', import.meta.url)).replace(/\/$/, '');
