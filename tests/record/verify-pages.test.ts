import { Buffer } from 'node:buffer';
import { deflateSync, inflateSync } from 'node:zlib';
import { beforeAll, describe, expect, test } from 'vitest';
import type { Signer } from '../../src/record/keys.js';
import { signPdf } from '../../src/record/sign-pdf.js';
import { verifyPages } from '../../src/record/verify-pages.js';
import { verifyRecord } from '../../src/record/verify-pdf.js';
import { playedRecord, playedSigner } from './played-record.js';
import { attachmentId, edited, idOf, objectsOf, rewritten, signedAnyhow } from './reworked-pdf.js';
import { smallRecord } from './small-record.js';

let signer: Signer;
let record: Buffer;
beforeAll(async () => {
  signer = playedSigner();
  record = await playedRecord(signer);
});

const said = async (pdf: Buffer) => {
  const seen = await verifyPages(pdf);
  return { state: seen.state, last: seen.reasons.at(-1) };
};
/** The changed file, signed as a record is, by whoever made the record before. */
const forged = (pdf: Buffer, by: Signer, ...changed: [number, Buffer][]) =>
  signedAnyhow(rewritten(pdf, new Map(changed)), by.sign);

/** The objects of the pages, in their order. */
function pageIds(pdf: Buffer): number[] {
  const tree = (objectsOf(pdf).get(idOf(pdf, /\/Type \/Pages\n/)) as Buffer).toString('latin1');
  return [.../\/Kids \[(.*?)\]/.exec(tree)![1]!.matchAll(/(\d+) 0 R/g)].map(([, id]) => Number(id));
}

/** A stream's object with something else in it. */
function restreamed(pdf: Buffer, id: number, change: (held: string) => string): [number, Buffer] {
  const object = objectsOf(pdf).get(id) as Buffer;
  const from = object.indexOf('stream\n') + 'stream\n'.length;
  const held = inflateSync(object.subarray(from, object.lastIndexOf('\nendstream'))).toString('latin1');
  const changed = change(held);
  expect(changed).not.toBe(held);
  const packed = deflateSync(Buffer.from(changed, 'latin1'));
  const head = object.toString('latin1', 0, from).replace(/\/Length \d+/, `/Length ${packed.length}`);
  return [
    id,
    Buffer.concat([Buffer.from(head, 'latin1'), packed, Buffer.from('\nendstream\nendobj\n', 'latin1')]),
  ];
}

/** A page on which the last letters of one line read otherwise. */
function pageWithAnotherFigure(pdf: Buffer, page: number): [number, Buffer] {
  const head = (objectsOf(pdf).get(pageIds(pdf)[page - 1]!) as Buffer).toString('latin1');
  const contents = Number(/\/Contents (\d+) 0 R/.exec(head)![1]);
  return restreamed(pdf, contents, (held) => {
    const shown = [...held.matchAll(/<([0-9a-f]{8,})>/g)].at(5)!;
    const letters = shown[1]!.match(/..../g)!;
    const other = [letters[1], letters[0], ...letters.slice(2)].join('');
    return held.slice(0, shown.index + 1) + other + held.slice(shown.index + 1 + other.length);
  });
}

describe('the pages of a record', () => {
  test('read as the attached data say, on letter paper with photos', async () => {
    expect(await said(record)).toEqual({
      state: 'intact',
      last: 'The pages read as the attached data say.',
    });
  });

  test('read so on A4, by another signer', async () => {
    const metric = await playedRecord(playedSigner(), { units: 'metric', revision: 2 });
    expect(await said(metric)).toMatchObject({ last: 'The pages read as the attached data say.' });
  });

  test('read so for a signer asked for, and are compared for one who is another as well', async () => {
    const other = playedSigner();
    expect(await verifyPages(record, { fingerprint: signer.fingerprint })).toMatchObject({
      state: 'intact',
      signer: 'known',
      pages: { read: 'same' },
    });
    expect(await verifyPages(record, { fingerprint: other.fingerprint })).toMatchObject({
      state: 'another-signer',
      pages: { read: 'same' },
    });
  });

  test('are told where one figure on page 5 is another, though the signature is right', async () => {
    const sly = await forged(record, signer, pageWithAnotherFigure(record, 5));
    expect(await verifyRecord(sly)).toMatchObject({ state: 'intact', composedAgain: 'same' });
    expect(await said(sly)).toEqual({
      state: 'other-pages',
      last: 'Page 5 does not read as the attached data say.',
    });
  });

  test('are told where page one has another figure, or a page ends before its last words', async () => {
    expect(await said(await forged(record, signer, pageWithAnotherFigure(record, 1)))).toEqual({
      state: 'other-pages',
      last: 'Page 1 does not read as the attached data say.',
    });
    const head = (objectsOf(record).get(pageIds(record)[4]!) as Buffer).toString('latin1');
    const contents = Number(/\/Contents (\d+) 0 R/.exec(head)![1]);
    const cut = restreamed(record, contents, (held) => held.slice(0, held.lastIndexOf('BT')));
    expect(await said(await forged(record, signer, cut))).toMatchObject({
      last: 'Page 5 does not read as the attached data say.',
    });
  });

  test('are told where another key signed them, on the first page that differs', async () => {
    const other = playedSigner();
    const theirs = await playedRecord(other);
    const sly = await forged(
      theirs,
      other,
      pageWithAnotherFigure(theirs, 7),
      pageWithAnotherFigure(theirs, 2),
    );
    expect(await said(sly)).toMatchObject({ last: 'Page 2 does not read as the attached data say.' });
  });

  test('are told where a page is turned, left out, or stands twice', async () => {
    const ids = pageIds(record);
    const tree = idOf(record, /\/Type \/Pages\n/);
    const turned = await forged(
      record,
      signer,
      edited(record, ids[2]!, '/Type /Page\n', '/Type /Page\n/Rotate 180\n'),
    );
    expect(await said(turned)).toMatchObject({ last: 'Page 3 does not read as the attached data say.' });
    const without = await forged(record, signer, edited(record, tree, `${ids[3]} 0 R`, ''));
    expect(await said(without)).toMatchObject({ last: 'Page 4 does not read as the attached data say.' });
    const twice = await forged(record, signer, edited(record, tree, /(\d+ 0 R)\]/, '$1 $1]'));
    expect(await said(twice)).toMatchObject({
      last: `Page ${ids.length + 1} does not read as the attached data say.`,
    });
  });

  test('are told where a line of the contents leads to another page', async () => {
    const ids = pageIds(record);
    const link = [...objectsOf(record)].find(([, bytes]) => bytes.includes('/Subtype /Link'))![0];
    const elsewhere = edited(record, link, /\/Dest \[\d+ 0 R/, `/Dest [${ids.at(-1)} 0 R`);
    const page = ids.findIndex((id) => {
      const on = /\/Annots (\d+) 0 R|\/Annots \[([^\]]*)\]/.exec(String(objectsOf(record).get(id)));
      const list = on?.[2] ?? String(objectsOf(record).get(Number(on?.[1])) ?? '');
      return new RegExp(`\\b${link} 0 R`).test(list);
    });
    expect(await said(await forged(record, signer, elsewhere))).toMatchObject({
      state: 'other-pages',
      last: `Page ${page + 1} does not read as the attached data say.`,
    });
  });

  test('are told where a photo is another picture', async () => {
    const picture = [...objectsOf(record)].find(([, bytes]) => bytes.includes('/DCTDecode'))!;
    const bytes = Buffer.from(picture[1]);
    bytes[bytes.length - 60] = bytes[bytes.length - 60]! ^ 0x10;
    expect(await said(await forged(record, signer, [picture[0], bytes]))).toEqual({
      state: 'other-pages',
      last: 'A photo on the pages is not the one that the attached data name.',
    });
  });

  test('are told where only what is read aloud is another thing, a script lies in wait, or a page hangs elsewhere', async () => {
    const beside =
      'The pages read as the attached data say, but something beside them is not as this program writes it.';
    const alt = [...objectsOf(record)].find(([, bytes]) => bytes.includes('/Alt (Photo: '))![0];
    const root = idOf(record, '/Type /Catalog');
    const action = '/OpenAction << /S /JavaScript /JS (app.alert) >>';
    const [first, , , , fifth] = pageIds(record);
    for (const change of [
      // A page takes from its parent how it is turned and cut.
      edited(record, fifth!, /\/Parent \d+ 0 R/, `/Parent ${first} 0 R`),
      edited(record, idOf(record, '/Type /Metadata'), 'conformance>B<', 'conformance>A<'),
      edited(record, alt, '/Alt (Photo: ', '/Alt (Proof: '),
      edited(record, root, '/Type /Catalog', `/Type /Catalog\n${action}`),
    ])
      expect(await said(await forged(record, signer, change))).toEqual({
        state: 'other-pages',
        last: beside,
      });
  });

  test('are told where another reader may find others, though all reads the same here', async () => {
    const [page, root] = [pageIds(record)[4]!, idOf(record, '/Type /Catalog')];
    const object = objectsOf(record).get(root) as Buffer;
    // What lies between two objects may be a table of other objects, which readers of a file for the web ask first.
    const between = rewritten(record, new Map([[root, Buffer.concat([object, Buffer.from('% more\n')])]]));
    const number = rewritten(
      record,
      new Map([edited(record, page, '[0 0 612 792]', '[0 0 6120e-1 7920e-1]')]),
    );
    const head = rewritten(record, new Map());
    head.write('~', head.indexOf('%', 1) + 1, 'latin1');
    for (const pdf of [between, number, head])
      expect(await said(await signedAnyhow(pdf, signer.sign))).toEqual({
        state: 'other-pages',
        last: 'The pages read as the attached data say, but something beside them is not as this program writes it.',
      });
  });

  test('are none where the table says that an object is free', async () => {
    const pdf = rewritten(record, new Map());
    const table = pdf.lastIndexOf('\nxref\n') + 1;
    const rows = pdf.indexOf('\n', pdf.indexOf('\n', table) + 1) + 1;
    const contents = Number(/\/Contents (\d+) 0 R/.exec(String(objectsOf(pdf).get(pageIds(pdf)[4]!)))![1]);
    pdf.write('65535 f', rows + contents * 20 + 11, 'latin1');
    expect(await said(await signedAnyhow(pdf, signer.sign))).toMatchObject({ state: 'not-intact' });
  });

  test('packed otherwise are the same pages', async () => {
    const head = (objectsOf(record).get(pageIds(record)[4]!) as Buffer).toString('latin1');
    const contents = Number(/\/Contents (\d+) 0 R/.exec(head)![1]);
    const object = objectsOf(record).get(contents) as Buffer;
    const from = object.indexOf('stream\n') + 'stream\n'.length;
    const packed = deflateSync(inflateSync(object.subarray(from, object.lastIndexOf('\nendstream'))), {
      level: 1,
    });
    const start = object.toString('latin1', 0, from).replace(/\/Length \d+/, `/Length ${packed.length}`);
    const again = Buffer.concat([Buffer.from(start), packed, Buffer.from('\nendstream\nendobj\n')]);
    expect(again.equals(object)).toBe(false);
    expect(await said(await forged(record, signer, [contents, again]))).toMatchObject({ state: 'intact' });
  });
});

describe('pages that cannot be compared', () => {
  const factsWith = (change: (text: string) => string) =>
    forged(record, signer, restreamed(record, attachmentId(record, 'record.json'), change));

  test('are said to be drawn by another version, or by none that is named', async () => {
    const older = await factsWith((text) => text.replace(/"drawing":"[^"]+"/, '"drawing":"2020.01"'));
    expect(await said(older)).toEqual({
      state: 'intact',
      last: 'Its pages were not compared: they were drawn by another version of this program (2020.01).',
    });
    const silent = await factsWith((text) => text.replace(/"drawing":"[^"]+",/, ''));
    expect((await said(silent)).last).toContain('does not say from what');
    const small = await signPdf(await smallRecord(signer, new Date('2026-09-20T10:00:00Z')), signer);
    expect((await said(small)).last).toContain('does not say from what');
  });

  test('are said to be composed otherwise here where the attached data give another document', async () => {
    const other = await factsWith((text) => text.replace('"issuedBy":"Ines', '"issuedBy":"Agnes'));
    expect(await said(other)).toEqual({
      state: 'intact',
      last: 'Its pages were not compared: what is attached to them is composed otherwise here.',
    });
  });

  test('are not asked for where the file is not intact', async () => {
    const bytes = Buffer.from(record);
    bytes[600] = bytes[600]! ^ 1;
    const seen = await verifyPages(bytes);
    expect(seen).toMatchObject({ state: 'not-intact' });
    expect(seen).not.toHaveProperty('pages');
  });
});
