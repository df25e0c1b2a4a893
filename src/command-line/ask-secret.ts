import type { ReadStream } from 'node:tty';
import { UsageError } from '../command.js';

/** Asks for one line on a terminal without showing it. Throws UsageError where the person ends it with Ctrl-C or Ctrl-D. */
export function askSecret(
  question: string,
  input: Pick<ReadStream, 'setRawMode' | 'on' | 'off' | 'resume' | 'pause' | 'setEncoding'>,
  say: (text: string) => void,
): Promise<string> {
  say(question);
  input.setRawMode(true);
  input.setEncoding('utf8');
  input.resume();
  return new Promise((resolve, reject) => {
    let typed = '';
    const end = (finish: () => void) => {
      input.off('data', take);
      input.setRawMode(false);
      input.pause();
      say('\n');
      finish();
    };
    const take = (text: string) => {
      for (const letter of text) {
        if (letter === '\r' || letter === '\n') return end(() => resolve(typed));
        if (letter === '\u0003' || letter === '\u0004')
          return end(() => reject(new UsageError('No passphrase was given.')));
        if (letter === '\u007f' || letter === '\b') typed = [...typed].slice(0, -1).join('');
        else typed += letter;
      }
    };
    input.on('data', take);
  });
}
