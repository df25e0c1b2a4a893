import { writeSync } from 'node:fs';

/**
 * Log lines to an open file, the standard output as a rule. One that a full disk does not take is let go: thrown into the midst of a
 * request, it left everybody without an answer.
 */
export function logLinesTo(fd: number): { write(line: string): void } {
  return {
    write(line) {
      try {
        writeSync(fd, line);
      } catch {
        // There is nowhere left to say it; what stands in the logbook does not depend on it.
      }
    },
  };
}
