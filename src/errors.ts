/** What a person can mend: the field that is wrong and the sentence that stands beside it. */
export interface Issue {
  readonly field: string;
  readonly message: string;
}

/** An expected outcome: the value, or what must be mended first. */
export type Result<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly issues: readonly Issue[] };

/** Every error code that can leave the product, its HTTP status, and what it means to a person. */
export const errorList = {
  'bad-argument': { status: 400, means: 'A command was given an argument it cannot use.' },
  'bad-request': { status: 400, means: 'The server could not make out what was sent.' },
  'bad-file': { status: 422, means: 'A file cannot be read as what it should be.' },
  'form-invalid': { status: 422, means: 'Something on the form must be mended; what was typed is kept.' },
  'not-signed-in': { status: 401, means: 'This page opens only with a session.' },
  'not-allowed': { status: 403, means: 'This person does not hold the role that this needs.' },
  'form-token': { status: 403, means: 'The form did not come from a page of this session.' },
  'not-found': { status: 404, means: 'There is nothing at this address.' },
  'wrong-method': { status: 405, means: 'This address is not asked in that way.' },
  'out-of-order': { status: 409, means: 'The work is not at the point where this can be entered.' },
  'form-key-reused': { status: 422, means: 'This form was already sent with other content.' },
  'too-large': { status: 413, means: 'What was sent is larger than this page takes.' },
  'too-many': { status: 429, means: 'Too many tries in a short time; wait and try again.' },
  'logbook-broken': {
    status: 503,
    means: 'The logbook does not agree with its own digests; nothing more is written.',
  },
  'store-in-use': { status: 503, means: 'Another process is writing in this data folder.' },
  'store-newer': {
    status: 503,
    means:
      'The data folder was written by a newer version of this program; nothing was changed. Open it with that version, or restore a backup of this one into another folder.',
  },
  'record-unfinished': {
    status: 503,
    means: 'The record took more time or memory than it is given; nothing was issued.',
  },
  'store-full': { status: 507, means: 'The disk would not take the entry; nothing was written.' },
  unexpected: { status: 500, means: 'Something went wrong that should not; the log holds the reference.' },
} as const satisfies Record<string, { status: number; means: string }>;

export type ErrorCode = keyof typeof errorList;

/** The one error class. `facts` are for the log; `issues` are for the person; `message` is the sentence shown. */
export class AppError extends Error {
  readonly code: ErrorCode;
  readonly facts: Readonly<Record<string, unknown>>;
  readonly issues: readonly Issue[];

  constructor(
    code: ErrorCode,
    message: string = errorList[code].means,
    more: { facts?: Record<string, unknown>; issues?: readonly Issue[]; cause?: unknown } = {},
  ) {
    super(message, more.cause === undefined ? {} : { cause: more.cause });
    this.name = 'AppError';
    this.code = code;
    this.facts = more.facts ?? {};
    this.issues = more.issues ?? [];
  }

  get status(): number {
    return errorList[this.code].status;
  }
}
