/** A file that was a record and was changed; the message is the sentence that says how it is known. */
export class Broken extends Error {}
