import type { TimeZone } from '../../logbook/time-zone.js';
import type { AccessRow, Refused } from '../../store/people/access-store.js';
import { whenText } from './job-words.js';

/** What is known of a person's coming in, as sentences for them and for a keeper. */
export function accessWords({ signedInMs, beforeMs, refused, told }: AccessRow, zone: TimeZone) {
  const msText = (ms: number) => whenText(new Date(ms).toISOString(), zone);
  const tried = refusedText(told, msText);
  return {
    lastSignIn: signedInMs === undefined ? 'never' : msText(signedInMs),
    /** Since they signed in last; '' where there is nothing. */
    refused: refusedText(refused, msText),
    /** Before they signed in last; '' where there is nothing. */
    told: tried,
    /** What a person is told who comes in after tries that were refused; '' where there were none. */
    atSignIn:
      tried === ''
        ? ''
        : `Before you came in: ${tried}. You were last signed in ${beforeMs === undefined ? 'never before' : msText(beforeMs)}. If a try was not yours, change your passphrase and tell a keeper.`,
  };
}

/** "3 sign-ins under this name refused, the last on 25 Nov 2026, 08:00 MST" */
function refusedText({ signIns, again, lastMs }: Refused, msText: (ms: number) => string): string {
  const parts = [
    ...(signIns > 0 ? [`${signIns} ${signIns === 1 ? 'sign-in' : 'sign-ins'} under this name refused`] : []),
    ...(again > 0
      ? [
          `${again} ${again === 1 ? 'passphrase' : 'passphrases'} refused where one was asked for again while signed in`,
        ]
      : []),
  ];
  if (parts.length === 0) return '';
  return `${parts.join(', ')}${lastMs === undefined ? '' : `, the last on ${msText(lastMs)}`}`;
}
