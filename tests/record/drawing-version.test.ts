import { Buffer } from 'node:buffer';
import { createHash } from 'node:crypto';
import { beforeAll, expect, test } from 'vitest';
import type { Block, Table } from '../../src/record/document/block.js';
import type { RecordDocument } from '../../src/record/document.js';
import { drawPdf } from '../../src/record/draw-pdf.js';
import { drawingVersion } from '../../src/record/drawing-version.js';
import { PdfRef, type PdfValue } from '../../src/record/pdf-value.js';
import { inflated, type PdfFile, readPdf } from '../../src/record/read-pdf.js';
import { recordFactsJsonSchema } from '../../src/record/record-facts.js';
import { photoBytes, sampleJob, signature } from './sample-job.js';

/**
 * What a document that never changes looks like on its pages, by the version of the drawing. Where the digest is another one, give
 * `drawingVersion` another name and write the new digest under it: records of the old version are then not held against the new drawing.
 */
const drawnAs: Record<string, string> = {
  '2026.11': '99165ad177e9bb5ae300cb8cc2778de99cb42ee3ad470a5e0d48e3c576bec061',
  '2026.11.2': '99165ad177e9bb5ae300cb8cc2778de99cb42ee3ad470a5e0d48e3c576bec061',
  '2026.11.3': '99165ad177e9bb5ae300cb8cc2778de99cb42ee3ad470a5e0d48e3c576bec061',
  '2026.11.4': '99165ad177e9bb5ae300cb8cc2778de99cb42ee3ad470a5e0d48e3c576bec061',
  '2026.11.5': '99165ad177e9bb5ae300cb8cc2778de99cb42ee3ad470a5e0d48e3c576bec061',
  '2026.11.6': '99165ad177e9bb5ae300cb8cc2778de99cb42ee3ad470a5e0d48e3c576bec061',
  '2026.11.7': 'c653b65bf2c494477f60278a49f0f3095a287eeb4b66de1f491240cc700881d7',
  '2026.11.8': '9528f601bbf0257815694b65850945c18f96f885fc2165f0c1235708fadecfff',
  '2026.11.9': '9528f601bbf0257815694b65850945c18f96f885fc2165f0c1235708fadecfff',
  '2026.11.10': '9528f601bbf0257815694b65850945c18f96f885fc2165f0c1235708fadecfff',
  '2026.11.11': '9528f601bbf0257815694b65850945c18f96f885fc2165f0c1235708fadecfff',
  '2026.11.12': '9528f601bbf0257815694b65850945c18f96f885fc2165f0c1235708fadecfff',
  '2026.11.13': '9528f601bbf0257815694b65850945c18f96f885fc2165f0c1235708fadecfff',
  '2026.11.14': '9528f601bbf0257815694b65850945c18f96f885fc2165f0c1235708fadecfff',
};

/** The same for the JSON Schema that is attached: a record is held against that as well. */
const schemaAs: Record<string, string> = {
  '2026.11.4': '88f81c812d47d2c63903c19bafadf4fe9e1a38a0b7a7ad49395ccbd58c25194a',
  '2026.11.5': '88f81c812d47d2c63903c19bafadf4fe9e1a38a0b7a7ad49395ccbd58c25194a',
  '2026.11.6': '88f81c812d47d2c63903c19bafadf4fe9e1a38a0b7a7ad49395ccbd58c25194a',
  '2026.11.7': '88f81c812d47d2c63903c19bafadf4fe9e1a38a0b7a7ad49395ccbd58c25194a',
  '2026.11.8': '88f81c812d47d2c63903c19bafadf4fe9e1a38a0b7a7ad49395ccbd58c25194a',
  '2026.11.9': '88f81c812d47d2c63903c19bafadf4fe9e1a38a0b7a7ad49395ccbd58c25194a',
  '2026.11.10': '8ca57787571d3b16850d7aa7837c5b8853e8f5df061c050607819031ef6cea2e',
  '2026.11.11': '4649c45ce48e4fc38430378cc24b11fa4519a2624bac5194e07d45acff940275',
  '2026.11.12': '4649c45ce48e4fc38430378cc24b11fa4519a2624bac5194e07d45acff940275',
  '2026.11.13': '9e704a959bc1a9337bfe7ad5d5dbcf630ee3db771f5403e3a2a0eb1cb5243b69',
  '2026.11.14': '9e704a959bc1a9337bfe7ad5d5dbcf630ee3db771f5403e3a2a0eb1cb5243b69',
};

const rows: Table['rows'] = [
  { group: 'A group', beside: 'beside it' },
  [
    'one',
    [
      { text: 'strong', manner: 'strong' },
      { text: 'muted', manner: 'muted' },
    ],
  ],
  { cells: ['two', 'over'], under: 'what belongs to the row, below it' },
  { note: 'A note over all columns' },
];
const many = Array.from({ length: 90 }, (_, k) => `Sentence ${k + 1} of a list that goes over a page.`);

/** One block of every kind, with scenes of every shape. */
function everyBlock(photo: string): Block[] {
  const looks = ['hot', 'ink planned', 'accent filled', 'ground outlined', 'ink boxed', 'ink'];
  const look = (k: number) => looks[k];
  const scene = {
    title: 'A scene',
    description: 'Shapes',
    width: 400,
    height: 90,
    shapes: [
      { kind: 'line', look: look(0), x1: 5, y1: 5, x2: 120, y2: 40 },
      { kind: 'rect', look: look(1), x: 130, y: 5, width: 40, height: 30, radius: 4 },
      { kind: 'circle', look: look(2), x: 210, y: 30, r: 12 },
      { kind: 'path', look: look(3), d: 'M 240 10 L 270 40 Z' },
      {
        kind: 'polyline',
        look: look(4),
        points: [
          [280, 10],
          [300, 40],
          [320, 10],
        ],
        closed: true,
      },
      {
        kind: 'text',
        look: look(5),
        text: 'words',
        x: 340,
        y: 40,
        size: 14,
        weight: 'bold',
        anchor: 'start',
      },
    ],
  } as unknown as Extract<Block, { kind: 'scene' }>['scene'];
  return [
    { kind: 'heading', text: 'A heading' },
    { kind: 'paragraph', text: 'A paragraph of the body. '.repeat(12) },
    { kind: 'paragraph', text: 'A lead', manner: 'lead' },
    { kind: 'paragraph', text: 'Muted', manner: 'muted' },
    { kind: 'list', numbered: false, items: many.slice(0, 3) },
    { kind: 'list', numbered: true, columns: 2, items: many },
    { kind: 'pairs', rows: [['Label', 'value']] },
    {
      kind: 'table',
      summary: 'A table',
      columns: [
        { head: 'One', share: 2 },
        { head: 'Two', share: 3 },
      ],
      rows,
    },
    { kind: 'scene', scene },
    { kind: 'scenes', titled: true, scenes: [scene, scene] },
    {
      kind: 'photos',
      photos: [{ id: photo, caption: '1 A photo', note: 'of one colour', widthPx: 480, heightPx: 360 }],
    },
    {
      kind: 'signatures',
      signatures: [{ meaning: 'Meant', signature: signature('Ines Okafor'), at: '4 March 2026' }],
    },
    { kind: 'seal', at: '2026-03-04T10:00:00Z', name: 'Shop', reason: 'Record', lines: ['Signed.'] },
    { kind: 'cut-outs', cards: [{ title: 'A card', purpose: 'For it', leastHeightMm: 20, lines: ['line'] }] },
    { kind: 'code', lines: ['a command'] },
  ];
}

let document: RecordDocument;
beforeAll(async () => {
  await sampleJob();
  const [photo] = photoBytes.keys();
  document = {
    ...{
      job: '2026-014',
      revision: 1,
      shop: 'Thimble Lane Vanworks',
      van: 'Marginalia',
      paper: 'letter' as const,
    },
    issuedAt: '2026-03-04T10:00:00Z',
    cover: { title: 'A record', blocks: [{ kind: 'paragraph', text: 'Page one' }] },
    sections: [{ title: 'Everything', blocks: everyBlock(photo!) }],
  };
});

/** SHA-256 over what is written on every page, whatever the library of this machine packs it into. */
async function drawnDigest(): Promise<string> {
  const pdf = readPdf(await drawPdf(document, (id) => photoBytes.get(id), []));
  const kids = pdf.resolve(pdf.dict(pdf.root.get('Pages'), 'pages').get('Kids')) as readonly PdfValue[];
  const hash = createHash('sha256');
  for (const kid of kids) hash.update(written(pdf, kid));
  for (const kid of kids) hash.update(linksOn(pdf, kid));
  return hash.digest('hex');
}

/** Where the links of a page lead, by their heights. */
function linksOn(pdf: PdfFile, page: PdfValue): string {
  const all = (pdf.resolve(pdf.dict(page, 'a page').get('Annots')) ?? []) as readonly PdfValue[];
  const links = all.map((one) => pdf.dict(one, 'an annotation')).filter((one) => one.has('Dest'));
  return JSON.stringify(
    links.map((one) => [one.get('Rect'), (pdf.resolve(one.get('Dest')) as PdfValue[]).slice(2)]),
  );
}

function written(pdf: PdfFile, page: PdfValue): Buffer {
  const contents = pdf.dict(page, 'a page').get('Contents');
  return contents instanceof PdfRef ? inflated(pdf.rawStream(contents)!, 1e7) : Buffer.alloc(0);
}

test('the same document is drawn as ever, or the drawing has another version', async () => {
  expect(await drawnDigest()).toBe(drawnAs[drawingVersion]);
});

test('the schema that goes with it is as ever, or the drawing has another version', () => {
  const schema = JSON.stringify(recordFactsJsonSchema());
  expect(createHash('sha256').update(schema).digest('hex')).toBe(schemaAs[drawingVersion]);
});

test('a version is told from another by one figure', async () => {
  const before = await drawnDigest();
  document = { ...document, van: 'Marginalis' };
  expect(await drawnDigest()).not.toBe(before);
});
