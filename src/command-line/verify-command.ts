import { type FileIo, plainLine, UsageError } from '../command.js';
import { type Limits, verifyApart } from '../record/verify-apart.js';
import { plainHex, type Verification } from '../record/verify-pdf.js';
import { readArguments } from './options.js';

const help = [
  'Usage: inlet-logbook verify FILE.pdf [--fingerprint HEX] [--json]',
  '',
  'Says whether a file is a record as it was issued: one signature over every byte, made by the certificate in it.',
  'Then draws its pages again from the logbook and the photos in it, and says whether they read the same.',
  'It says nothing about the wiring.',
  '  --fingerprint HEX   the SHA-256 of the signer’s certificate or of the shop’s root: another signer is then exit 1',
  '  --json              one line of JSON in place of text',
  '  --help              this text',
  '',
  'Exit 0 for an intact record whose pages do not belie its data, 1 for anything else, 2 for a wrong argument or a path that cannot be read.',
];

/** Of a stranger's file no more time and memory is taken than the largest record needs on a slow machine. */
const usual: Limits = { milliseconds: 180_000, mebibytes: 1024 };
const unchecked = {
  state: 'not-checked',
  reasons: ['The file takes more time or memory than is given to a check. Nothing is known of it.'],
} as const;

const options = { fingerprint: { type: 'string' }, json: { type: 'boolean' } } as const;

/** The command `verify`, with what it gives to one file. Answers the exit code; throws UsageError for a wrong argument or path. */
export async function runVerify(args: readonly string[], io: FileIo, limits = usual): Promise<number> {
  const given = readArguments({ command: 'verify', help, options, names: ['FILE.pdf'] }, args, io);
  if (given === undefined) return 0;
  const [values, path] = given;
  const fingerprint = askedFingerprint(values.fingerprint);
  const bytes = await io.readBytes(path).catch(() => {
    throw new UsageError(`verify: ${path}: cannot be read`);
  });
  const found = await verifyApart(bytes, { fingerprint }, limits);
  const seen = typeof found === 'string' ? unchecked : found;
  const answer =
    values.json === true ? [JSON.stringify({ file: path, ...seen })] : told(path, seen).map(plainLine);
  for (const line of answer) io.out(line);
  return seen.state === 'intact' ? 0 : 1;
}

function askedFingerprint(given: string | undefined): string | undefined {
  if (given === undefined) return undefined;
  const hex = plainHex(given);
  if (!/^[0-9a-f]{64}$/.test(hex))
    throw new UsageError('verify: --fingerprint must be a SHA-256: 64 hexadecimal digits');
  return hex;
}

type Seen = Verification | typeof unchecked;

const words: Record<Seen['state'], string> = {
  intact: 'an intact record',
  'another-signer': 'not by the signer asked for',
  'other-pages': 'intact, but not as the data attached to it say',
  'not-intact': 'not intact',
  'not-a-record': 'not a record',
  'not-checked': 'not checked',
};

function told(path: string, seen: Seen): string[] {
  const head = [`${path}: ${words[seen.state]}`, ...seen.reasons.map((reason) => `  ${reason}`)];
  if (!('facts' in seen)) return head;
  const { facts } = seen;
  return [
    ...head,
    `  Job ${facts.job}, revision ${facts.revision}, issued ${facts.issuedAt} by ${facts.issuedBy}, ${facts.shop}`,
    `  Van: ${facts.van}`,
    `  Logbook: ${facts.entries} entries, newest digest ${facts.head}`,
    `  Signer: ${seen.fingerprint}`,
    `  Root:   ${seen.rootFingerprint}`,
    '  This says nothing about the wiring.',
  ];
}
