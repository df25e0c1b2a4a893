/** What the yardstick asks, in our words, and where it is shown; or why it is not met. */
export type Point = { readonly point: string; readonly asks: string } & (
  | { readonly shownBy: readonly (readonly [file: string, title: string])[] }
  | { readonly notMet: string }
);

export const points: readonly Point[] = [
  {
    point: '11.10(a)',
    asks: 'the system is shown to work, and an altered or invalid record is discerned',
    shownBy: [
      ['tests/store/heads.test.ts', 'an entry that was rewritten behind the triggers'],
      ['tests/store/heads.test.ts', 'a WAL that is cut anywhere, or has one byte turned, is noticed'],
      [
        'tests/outside/against-pdfsig-on-changes.test.ts',
        'at each of 420 places spread over the record is told',
      ],
    ],
  },
  {
    point: '11.10(b)',
    asks: 'accurate and complete copies, for people and for machines',
    shownBy: [
      [
        'tests/store/carry/job-file.test.ts',
        'a job that is imported and exported is the same logbook, digest for digest',
      ],
      ['tests/web/record/record-page.test.ts', 'the job goes out as one zip for its fitter'],
      ['tests/record/compose-again.test.ts', 'reads the same from what is attached to it'],
    ],
  },
  {
    point: '11.10(c)',
    asks: 'records are protected and can be retrieved for as long as they are kept',
    shownBy: [
      ['tests/store/append-only.test.ts', 'is refused by the schema: %s'],
      [
        'tests/store/releases.test.ts',
        'a folder of %s opens whole, is kept as it was beside, and work goes on in it',
      ],
      [
        'tests/long/restore-drill.test.ts',
        'come back with everything answered before them, digest for digest',
      ],
    ],
  },
  {
    point: '11.10(d)',
    asks: 'access only for those who are allowed',
    shownBy: [
      [
        'tests/web/session/guard.test.ts',
        'without a session no closed address answers with anything but the way to sign in',
      ],
      ['tests/web/people/sign-in-page.test.ts', 'a person who is retired loses access at once'],
    ],
  },
  {
    point: '11.10(e)',
    asks: 'a trail with times made by the machine; a change does not hide what stood before',
    shownBy: [
      ['tests/store/append-only.test.ts', 'is refused by the schema: %s'],
      [
        'tests/web/job/job-page.test.ts',
        'a time is told as the clock of the shop shows it, and says which zone that is',
      ],
      ['tests/journeys/waits-on-the-phone.test.ts', 'readings wait with their time and go out in order'],
      [
        'tests/record/document.test.ts',
        'keep the reading that failed, the one that was struck, and what was found and done',
      ],
    ],
  },
  {
    point: '11.10(f)',
    asks: 'steps go in their order',
    shownBy: [['tests/steps/accept.test.ts', 'refuses %s and writes nothing']],
  },
  {
    point: '11.10(g)',
    asks: 'whoever signs, changes or reads is asked whether they may',
    shownBy: [
      [
        'tests/steps/accept.test.ts',
        'each entry is written by a person of its roles, and of a closed job none but what still concerns it',
      ],
      ['tests/web/session/guard.test.ts', 'a %s reaches what the role opens and nothing more'],
      [
        'tests/web/every-route.test.ts',
        'each address answers each role as it should, and what is refused leaves nothing behind',
      ],
      [
        'tests/web/hostile-input.test.ts',
        'another person’s rights, a foreign form and a form sent again do nothing',
      ],
    ],
  },
  {
    point: '11.10(h)',
    asks: 'the source of what is entered is checked, where that matters',
    shownBy: [
      [
        'tests/record/document.test.ts',
        'print a reading beside what was expected, its limit, its error, its verdict and its meter',
      ],
      ['tests/journeys/waits-on-the-phone.test.ts', 'readings wait with their time and go out in order'],
    ],
  },
  {
    point: '11.10(i)',
    asks: 'people have the education and training for their part',
    notMet: 'The shop knows that; the product keeps no papers of people.',
  },
  {
    point: '11.10(j)',
    asks: 'written policies hold people to what they sign',
    notMet: 'What a signature means stands beside it; a policy that is read and accepted is not kept.',
  },
  {
    point: '11.10(k)',
    asks: 'the papers of the system itself are kept and their changes known',
    notMet:
      'They are kept with the source and its history; a shop sees the version of the program and of its rules, and not the papers that belong to it.',
  },
  {
    point: '11.30',
    asks: 'where others share the way, what goes over it is kept from them and known to be whole',
    shownBy: [
      ['tests/command-line/command-line.test.ts', 'on a network it serves HTTPS with its own certificate'],
      ['tests/web/page/trusted-proxy.test.ts', 'the pages are those of TLS, and who asked is who it says'],
      [
        'tests/outside/against-pdfsig-on-changes.test.ts',
        'at each of 420 places spread over the record is told',
      ],
    ],
  },
  {
    point: '11.50(a)(1)',
    asks: 'a signed record prints the name of its signer',
    shownBy: [['tests/outside/against-pdfsig.test.ts', 'finds the job number, the van, both names']],
  },
  {
    point: '11.50(a)(2)',
    asks: 'and the date and time of the signature',
    shownBy: [
      [
        'tests/record/verify-pdf.test.ts',
        'that prints another time than it is signed for does not leave the signer',
      ],
    ],
  },
  {
    point: '11.50(a)(3)',
    asks: 'and what the signature means',
    shownBy: [
      [
        'tests/web/job/second-look-page.test.ts',
        'the second look is signed with the checker’s own passphrase',
      ],
      ['tests/record/document.test.ts', 'says that it is no approval, and nothing that sounds like one'],
    ],
  },
  {
    point: '11.50(b)',
    asks: 'those are guarded like the record, and in every form that a person reads',
    shownBy: [
      [
        'tests/outside/against-pdfsig.test.ts',
        'calls the certifying signature of a record valid and the whole document signed',
      ],
    ],
  },
  {
    point: '11.70',
    asks: 'a signature cannot be cut out, copied or put under another record',
    shownBy: [
      ['tests/record/verify-pdf.test.ts', 'whose signature was written again by another key says so'],
      [
        'tests/outside/against-pdfsig-on-changes.test.ts',
        'is not intact where it is only the shop’s record with the signature exchanged',
      ],
    ],
  },
  {
    point: '11.100(a)',
    asks: 'a signature is one person’s, and never given to another',
    shownBy: [
      ['tests/web/people/people-page.test.ts', 'the sign-in name of someone who left is not given again'],
      ['tests/web/people/people-page.test.ts', 'a sign-in name is never given twice: "%s"'],
    ],
  },
  {
    point: '11.100(b)',
    asks: 'who somebody is was looked at before they are given a signature',
    notMet: 'Who vouched for a person can be written beside them, and may be left out.',
  },
  {
    point: '11.200(a)(1)',
    asks: 'two things that only the signer has, such as a name and a passphrase',
    shownBy: [
      [
        'tests/web/job/second-look-page.test.ts',
        'the second look is signed with the checker’s own passphrase',
      ],
      [
        'tests/web/hostile-input.test.ts',
        'another person’s rights, a foreign form and a form sent again do nothing',
      ],
      ['tests/web/record/record-page.test.ts', 'the passphrase that signs is kept nowhere in the logbook'],
    ],
  },
  {
    point: '11.200(a)(1)(i)',
    asks: 'within one sitting the first signing takes both, each later one at least one',
    shownBy: [
      [
        'tests/web/job/second-look-page.test.ts',
        'the second look is signed with the checker’s own passphrase',
      ],
    ],
  },
  {
    point: '11.200(a)(1)(ii)',
    asks: 'in another sitting it takes both again',
    shownBy: [
      [
        'tests/web/people/sign-in-page.test.ts',
        'a session ends after long idleness, and in any case after a week',
      ],
    ],
  },
  {
    point: '11.200(a)(2)',
    asks: 'only its owner uses it',
    shownBy: [
      [
        'tests/web/session/session-ends.test.ts',
        'the session has a new id, and a copy of the old cookie is dead',
      ],
      ['tests/web/people/sign-in-page.test.ts', 'a session id is nowhere in the database'],
    ],
  },
  {
    point: '11.200(a)(3)',
    asks: 'another could use it only with a second person’s help',
    shownBy: [
      [
        'tests/web/people/people-page.test.ts',
        'a person who is added gets a passphrase that is shown once and must be changed',
      ],
    ],
  },
  {
    point: '11.200(b)',
    asks: 'signatures by the body’s own marks are used by nobody else',
    notMet: 'There are none: a drawn signature stands beside the passphrase and proves nothing by itself.',
  },
  {
    point: '11.300(a)',
    asks: 'no two people have the same name and passphrase',
    shownBy: [
      ['tests/web/people/people-page.test.ts', 'the sign-in name of someone who left is not given again'],
      ['tests/web/people/sign-in-page.test.ts', 'the name is taken in any case and width: '],
    ],
  },
  {
    point: '11.300(b)',
    asks: 'they are looked through, recalled or changed from time to time',
    shownBy: [
      ['tests/web/people/sign-in-page.test.ts', 'a person lists their sessions and ends another of them'],
      ['tests/web/session/session-ends.test.ts', 'what was refused is counted, told at the next sign-in'],
    ],
  },
  {
    point: '11.300(c)',
    asks: 'what was lost or stolen is shut out, and replaced under control',
    shownBy: [
      ['tests/web/people/people-page.test.ts', 'a keeper ends another person’s sessions'],
      [
        'tests/command-line/keeper-passphrase-command.test.ts',
        'the last keeper who forgot their passphrase gets in again by the machine',
      ],
      ['tests/web/shop/shop-page.test.ts', 'a new key needs its reason and the keeper’s own passphrase'],
    ],
  },
  {
    point: '11.300(d)',
    asks: 'attempts at misuse are hindered, noticed and told',
    shownBy: [
      ['tests/web/people/sign-in-page.test.ts', 'many wrong tries from one address must wait'],
      ['tests/web/session/session-ends.test.ts', 'what was refused is counted, told at the next sign-in'],
      [
        'tests/web/session/notices.test.ts',
        'a passphrase that was given at the machine is told to every keeper',
      ],
      ['tests/web/log-lines.test.ts', 'over a whole session no passphrase'],
      ['tests/web/log-lines.test.ts', 'each line of the log is one and steers no terminal'],
    ],
  },
  {
    point: '11.300(e)',
    asks: 'devices that carry a secret are tried when they are given out and later',
    notMet: 'No such device is used.',
  },
];
