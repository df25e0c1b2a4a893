import { Buffer } from 'node:buffer';
import type { Signer } from '../../src/record/keys.js';
import { blankByteRange } from '../../src/record/signature-field.js';

/** Changes to a signed file as one would make them who knows the format: the outcome is a whole PDF again. */

/** The objects of a record by their number, from "7 0 obj" to what stands before the next one. */
export function objectsOf(pdf: Buffer): Map<number, Buffer> {
  const { at, offsets } = tableOf(pdf);
  const ends = [...offsets.values(), at].sort((a, b) => a - b);
  return new Map(
    [...offsets].map(([id, from]) => [id, pdf.subarray(from, ends[ends.indexOf(from) + 1] as number)]),
  );
}

/** The number of the one object whose text holds `mark`. */
export function idOf(pdf: Buffer, mark: string | RegExp): number {
  const found = [...objectsOf(pdf)].filter(([, bytes]) => bytes.toString('latin1').match(mark) !== null);
  if (found.length !== 1) throw new Error(`${found.length} objects hold ${mark}`);
  return (found[0] as [number, Buffer])[0];
}

/** The number of the stream of an attachment. */
export function attachmentId(pdf: Buffer, name: string): number {
  const specification = objectsOf(pdf).get(idOf(pdf, `/F (${name})`.replace(/[().]/g, '\\$&')));
  return Number(/\/EF <<\s*\/F (\d+) 0 R/.exec((specification as Buffer).toString('latin1'))?.[1]);
}

/** The file written anew with other objects in place of some, its table and its byte range right, and the signature as it was. */
export function rewritten(pdf: Buffer, others: ReadonlyMap<number, Buffer>): Buffer {
  const { at, offsets, trailer } = tableOf(pdf);
  const parts: Buffer[] = [pdf.subarray(0, Math.min(...offsets.values()))];
  const placed = new Map<number, number>();
  let size = (parts[0] as Buffer).length;
  for (const [id, bytes] of [...objectsOf(pdf)].sort(
    ([a], [b]) => (offsets.get(a) ?? 0) - (offsets.get(b) ?? 0),
  )) {
    const part = others.get(id) ?? bytes;
    placed.set(id, size);
    parts.push(part);
    size += part.length;
  }
  const rows = pdf
    .toString('latin1', at, pdf.lastIndexOf('trailer'))
    .split('\n')
    .slice(2, -1)
    .map((row, id) => (placed.has(id) ? `${ten(placed.get(id) as number)}${row.slice(10)}` : row));
  const end = `xref\n0 ${rows.length}\n${rows.join('\n')}\n${trailer}\nstartxref\n${size}\n%%EOF\n`;
  return withRange(Buffer.concat([...parts, Buffer.from(end, 'latin1')]));
}

/** The signed file with other objects in an update behind it, as an editor appends it. */
export function appended(pdf: Buffer, others: ReadonlyMap<number, Buffer>): Buffer {
  const { at, offsets, trailer } = tableOf(pdf);
  const table = [`0 1\n0000000000 65535 f \n`];
  const parts: Buffer[] = [pdf];
  let size = pdf.length;
  for (const [id, bytes] of others) {
    table.push(`${id} 1\n${ten(size)} 00000 n \n`);
    parts.push(bytes);
    size += bytes.length;
  }
  const count = Math.max(...offsets.keys(), ...others.keys()) + 1;
  const named = trailer.replace(/\/Size \d+/, `/Size ${count}\n/Prev ${at}`);
  return Buffer.concat([
    ...parts,
    Buffer.from(`xref\n${table.join('')}${named}\nstartxref\n${size}\n%%EOF\n`, 'latin1'),
  ]);
}

/** An object's bytes under a number of its own. */
export const object = (id: number, text: string): Buffer =>
  Buffer.from(`${id} 0 obj\n${text}\nendobj\n`, 'latin1');

/** The object with a piece of its text replaced. */
export function edited(pdf: Buffer, id: number, from: string | RegExp, to: string): [number, Buffer] {
  const text = (objectsOf(pdf).get(id) as Buffer).toString('latin1');
  const changed = text.replace(from, to);
  if (changed === text) throw new Error(`object ${id} does not hold ${from}`);
  return [id, Buffer.from(changed, 'latin1')];
}

/** Where the signature stands, from its `<` to the `>` behind its room, and where what is used of the room ends. */
export function signatureSpan(pdf: Buffer): { from: number; used: number; to: number } {
  const { from, to } = contentsOf(pdf);
  return { from, used: pdf.indexOf('0'.repeat(64), from), to };
}

/** So many places in a record, one in each of equal parts of it, none in the room left behind the signature. */
export function spreadOver(pdf: Buffer, count: number): number[] {
  const { used, to } = signatureSpan(pdf);
  const room = to - 1 - used;
  return Array.from({ length: count }, (_, k) => {
    // Now near the beginning of its part, now near its end, so that no row of equal lines is met at one place only.
    const at = Math.floor(((k + ((k * 7) % 10) / 10) * (pdf.length - room)) / count);
    return at < used ? at : at + room;
  });
}

/** Signed without looking at the outcome: over the signature that was there, or where a second one stands, over that. */
export async function signedAnyhow(pdf: Buffer, sign: Signer['sign'], behind = 0): Promise<Buffer> {
  const signed = withRange(Buffer.from(pdf), behind);
  const { from, to } = contentsOf(signed, behind);
  const cms = await sign(Buffer.concat([signed.subarray(0, from), signed.subarray(to)]));
  signed.write(
    Buffer.from(cms)
      .toString('hex')
      .padEnd(to - from - 2, '0'),
    from + 1,
    'latin1',
  );
  return signed;
}

function withRange(pdf: Buffer, behind = 0): Buffer {
  const { from, to } = contentsOf(pdf, behind);
  const range = `/ByteRange [0 ${from} ${to} ${pdf.length - to}]`;
  pdf.write(range.padEnd(blankByteRange.length, ' '), pdf.indexOf('/ByteRange [', behind), 'latin1');
  return pdf;
}

function contentsOf(pdf: Buffer, behind = 0): { from: number; to: number } {
  const from = pdf.indexOf('/Contents <', pdf.indexOf('/ByteRange [', behind)) + '/Contents '.length;
  return { from, to: pdf.indexOf('>', from) + 1 };
}

const ten = (n: number) => String(n).padStart(10, '0');

function tableOf(pdf: Buffer): { at: number; offsets: Map<number, number>; trailer: string } {
  const tail = pdf.toString('latin1', pdf.length - 60);
  const at = Number(/startxref\n(\d+)\n%%EOF\n$/.exec(tail)?.[1]);
  const text = pdf.toString('latin1', at);
  const rows = text.slice(0, text.indexOf('trailer')).split('\n').slice(2, -1);
  const offsets = rows.flatMap((row, id): [number, number][] =>
    row.endsWith(' n ') ? [[id, Number(row.slice(0, 10))]] : [],
  );
  const trailer = text.slice(text.indexOf('trailer'), text.indexOf('\nstartxref'));
  return { at, offsets: new Map(offsets), trailer };
}
