import { Buffer } from 'node:buffer';
import { createHash } from 'node:crypto';
import { beforeAll, describe, expect, test } from 'vitest';
import { attachmentsIn } from '../../src/record/attached-data.js';
import { members, readElement } from '../../src/record/der.js';
import type { Signer } from '../../src/record/keys.js';
import { type PdfDict, PdfName, PdfRef, PdfString, type PdfValue } from '../../src/record/pdf-value.js';
import { inflated, nameIn, type PdfFile, readPdf, textIn } from '../../src/record/read-pdf.js';
import { readSignedData } from '../../src/record/signed-data.js';
import { sampleRecord } from './sample-record.js';
import { testSigner } from './small-record.js';

/**
 * What ISO 19005-3 (PDF/A-3), ISO 14289-1 (PDF/UA) and ETSI EN 319 142-1 (PAdES) ask of the objects of a file, as far as it can be told
 * without a validator of them. The rules are named by their numbers in the standards' public test profiles where they have one.
 */

const shop = 'Œuvre & <Söhne> "GmbH"';
let signer: Signer;
let bytes: Buffer;
let pdf: PdfFile;
let pages: readonly PdfRef[];

beforeAll(async () => {
  signer = testSigner();
  bytes = await sampleRecord(signer, { photos: 4 }, { shop, issuedBy: 'Zoë & <Ada>' });
  pdf = readPdf(bytes);
  pages = pdf.resolve(pdf.dict(pdf.root.get('Pages'), 'pages').get('Kids')) as PdfRef[];
});

const dict = (value: PdfValue | undefined): PdfDict => pdf.dict(value, 'a dictionary');
const said = (value: PdfValue | undefined): string => {
  const text = pdf.resolve(value);
  if (!(text instanceof PdfString)) throw new Error('no text');
  const isUtf16 = text.bytes[0] === 0xfe && text.bytes[1] === 0xff;
  return isUtf16
    ? Buffer.from(text.bytes.subarray(2)).swap16().toString('utf16le')
    : text.bytes.toString('latin1');
};
const content = (page: PdfRef) =>
  inflated(pdf.rawStream(dict(page).get('Contents') as PdfRef)!, 1e7).toString('latin1');
const metadata = () => pdf.stream(pdf.root.get('Metadata'), 1e6).toString('utf8');
const signature = () => dict(dict((dict(pdf.root.get('AcroForm')).get('Fields') as PdfValue[])[0]).get('V'));
const cms = () => readElement(textIn(signature(), 'Contents')!.bytes).whole;

/** Every element of the structure, from the root down. */
function structure(): PdfDict[] {
  const found: PdfDict[] = [];
  const visit = (value: PdfValue | undefined) => {
    const at = pdf.resolve(value);
    if (Array.isArray(at)) for (const kid of at) visit(kid);
    else if (at instanceof Map && nameIn(at as PdfDict, 'S') !== undefined) {
      found.push(at as PdfDict);
      visit((at as PdfDict).get('K'));
    }
  };
  visit(dict(pdf.root.get('StructTreeRoot')).get('K'));
  return found;
}
const ofType = (...types: string[]) => structure().filter((e) => types.includes(nameIn(e, 'S') ?? ''));
/** The head of every section: its words as the outline has them, its page, and its height there. */
function headings(): { title: string; page: number; top: number }[] {
  const titles: string[] = [];
  let item = pdf.resolve(dict(pdf.root.get('Outlines')).get('First'));
  for (; item instanceof Map; item = pdf.resolve((item as PdfDict).get('Next')))
    titles.push(said((item as PdfDict).get('Title')));
  // The first is the record's own.
  return ofType('H1')
    .slice(1)
    .map((head, k) => {
      const page = pages.findIndex(({ id }) => id === (head.get('Pg') as PdfRef).id);
      const [mark] = pdf.resolve(head.get('K')) as number[];
      const set = content(pages[page]!).split(`/MCID ${mark}`)[1] ?? '';
      const [, top = ''] = /1 0 0 1 [\d.]+ ([\d.]+) Tm/.exec(set) ?? [];
      return { title: titles[k + 1] ?? '', page: page + 1, top: Number(top) };
    });
}
const attribute = (element: PdfDict, key: string) => {
  const a = pdf.resolve(element.get('A'));
  const all = Array.isArray(a) ? a : [a];
  return all.map((one) => pdf.resolve(one)).flatMap((one) => (one instanceof Map ? [one.get(key)] : []))[0];
};

describe('PDF/A-3', () => {
  test('6.1.2, 6.6.2: the head has binary bytes behind it, and the metadata stand unpacked', () => {
    expect(bytes.subarray(9, 14)).toSatisfy(
      (line: Buffer) => line[0] === 0x25 && line.subarray(1).every((b) => b > 127),
    );
    expect(nameIn(dict(pdf.root.get('Metadata')), 'Filter')).toBeUndefined();
    expect(bytes.toString('latin1', bytes.lastIndexOf('trailer'))).toMatch(
      /\/ID \[<[0-9a-f]{32}> <[0-9a-f]{32}>\]/,
    );
  });

  test('6.6.4: the metadata name part 3 once, at the level that is kept', () => {
    expect(metadata().match(/<pdfaid:part>3<\/pdfaid:part>/g)).toHaveLength(1);
    expect(metadata().match(/<pdfaid:conformance>B<\/pdfaid:conformance>/g)).toHaveLength(1);
  });

  test('6.6.3: the metadata say what the information dictionary says, and no name can break them', () => {
    const info = dict(pdf.info);
    const title = said(info.get('Title'));
    const author = said(info.get('Author'));
    expect(author).toBe('Œuvre and (Söhne) "GmbH"');
    expect(metadata()).toContain(`>${title}</rdf:li>`);
    expect(metadata()).toContain(`>${author}</rdf:li>`);
    expect(metadata()).toContain(`<xmp:CreatorTool>${said(info.get('Creator'))}<`);
    expect(metadata()).toContain(`<pdf:Producer>${said(info.get('Producer'))}<`);
    expect(said(info.get('CreationDate'))).toBe('D:20260304100000Z');
    expect(metadata()).toContain('<xmp:CreateDate>2026-03-04T10:00:00Z<');
    expect(metadata().replace(/<\/?[a-z:]+[^<>]*>|<\?[^<>]*\?>/gi, '')).not.toMatch(/[<>&]/);
  });

  test('6.2.3: an output intent with its own profile', () => {
    const [intent] = pdf.resolve(pdf.root.get('OutputIntents')) as PdfValue[];
    expect(nameIn(dict(intent), 'S')).toBe('GTS_PDFA1');
    expect(pdf.stream(dict(intent).get('DestOutputProfile'), 1e7).toString('latin1', 36, 40)).toBe('acsp');
  });

  test('6.2.11.4: every face that is used is embedded, and says which letter each glyph is', () => {
    const fonts = new Set<number>();
    for (const page of pages)
      for (const font of dict(dict(dict(page).get('Resources')).get('Font')).values())
        fonts.add((font as PdfRef).id);
    expect(fonts.size).toBeGreaterThan(1);
    for (const id of fonts) {
      const font = dict(new PdfRef(id));
      expect(font.get('ToUnicode')).toBeInstanceOf(PdfRef);
      const [descendant] = pdf.resolve(font.get('DescendantFonts')) as PdfValue[];
      const descriptor = dict(dict(descendant).get('FontDescriptor'));
      expect(descriptor.get('FontFile2') ?? descriptor.get('FontFile3')).toBeInstanceOf(PdfRef);
    }
  });

  test('6.2.8, 6.2.10: photos are pictures as they were kept, and nothing is see-through without a group', () => {
    for (const page of pages) {
      const resources = dict(dict(page).get('Resources'));
      expect([
        ...(resources.get('ExtGState') instanceof Map ? dict(resources.get('ExtGState')).keys() : []),
      ]).toEqual([]);
      for (const image of resources.has('XObject') ? dict(resources.get('XObject')).values() : []) {
        const { dict: head } = pdf.rawStream(image as PdfRef)!;
        expect(nameIn(head, 'ColorSpace')).toBe('DeviceRGB');
        for (const barred of ['SMask', 'Alternates', 'OPI', 'Interpolate'])
          expect(head.has(barred)).toBe(false);
      }
    }
  });

  test('6.3.2, 6.3.3: the one annotation that is no link is printed, not hidden, and has an appearance', () => {
    const all = pages.flatMap((page) => (pdf.resolve(dict(page).get('Annots')) ?? []) as PdfValue[]);
    const annotations = all.filter((one) => nameIn(dict(one), 'Subtype') !== 'Link');
    expect(annotations).toHaveLength(1);
    const widget = dict(annotations[0]);
    const flags = widget.get('F') as number;
    expect([flags & 4, flags & (1 | 2 | 32 | 256)]).toEqual([4, 0]);
    const normal = dict(widget.get('AP')).get('N') as PdfRef;
    expect(pdf.rawStream(normal)!.raw.length).toBeGreaterThan(0);
    expect(widget.has('A') || widget.has('AA')).toBe(false);
  });

  test('6.4.1, 6.5: a form that asks no reader to draw it, and nothing that acts by itself', () => {
    const form = dict(pdf.root.get('AcroForm'));
    for (const barred of ['NeedAppearances', 'XFA']) expect(form.has(barred)).toBe(false);
    for (const barred of ['OpenAction', 'AA', 'Requirements']) expect(pdf.root.has(barred)).toBe(false);
    expect([...dict(pdf.root.get('Names')).keys()].filter((key) => key === 'JavaScript')).toEqual([]);
  });

  test('6.8: every attachment has its media type, its relation, both its names and its day, and the catalogue lists it', () => {
    const listed = pdf.resolve(pdf.root.get('AF')) as PdfRef[];
    expect(attachmentsIn(pdf).map(({ name, type }) => [name, type])).toEqual([
      ['record.json', 'application/json'],
      ['record.schema.json', 'application/json'],
      ['job.json', 'application/json'],
      ['readings.json', 'application/json'],
      ['readings.csv', 'text/csv'],
    ]);
    expect(listed).toHaveLength(5);
    for (const ref of listed) {
      const file = dict(ref);
      expect(nameIn(file, 'AFRelationship')).toBe('Data');
      expect(said(file.get('F'))).toBe(said(file.get('UF')));
      expect(said(file.get('Desc'))).not.toBe('');
      const embedded = dict(file.get('EF')).get('F') as PdfRef;
      const parameters = dict(dict(embedded).get('Params'));
      expect(said(parameters.get('ModDate'))).toBe('D:20260304100000Z');
      const held = pdf.stream(embedded, 1e7);
      expect(parameters.get('Size')).toBe(held.length);
      expect(said(parameters.get('CheckSum'))).toBe(createHash('md5').update(held).digest('hex'));
    }
  });
});

describe('PDF/UA', () => {
  test('7.1, 7.2: marked, with a language, and its title shown', () => {
    expect(dict(pdf.root.get('MarkInfo')).get('Marked')).toBe(true);
    expect(said(pdf.root.get('Lang'))).toBe('en-US');
    expect(dict(pdf.root.get('ViewerPreferences')).get('DisplayDocTitle')).toBe(true);
  });

  test('7.18.3: the tabs of every page go by the structure', () => {
    expect(pages.map((page) => nameIn(dict(page), 'Tabs'))).toEqual(pages.map(() => 'S'));
  });

  test('7.18.1, 7.18.4: the signature’s field has words and stands in a Form of the structure', () => {
    const field = (dict(pdf.root.get('AcroForm')).get('Fields') as PdfRef[])[0]!;
    expect(said(dict(field).get('TU'))).toBe('Record of job 2026-014, revision 1');
    const [form, ...more] = ofType('Form');
    expect(more).toEqual([]);
    const kids = pdf.resolve(form!.get('K')) as PdfValue[];
    const pointer = kids.map((kid) => pdf.resolve(kid)).find((kid) => kid instanceof Map) as PdfDict;
    expect(nameIn(pointer, 'Type')).toBe('OBJR');
    expect((pointer.get('Obj') as PdfRef).id).toBe(field.id);
  });

  test('7.18.5: each entry of the contents is a link in words, which leads to the head of its section', () => {
    const kidsOf = (element: PdfDict) =>
      (pdf.resolve(element.get('K')) as PdfValue[]).map((kid) => pdf.resolve(kid));
    const only = (element: PdfDict) => {
      const [kid, ...more] = kidsOf(element);
      expect(more).toEqual([]);
      return kid as PdfDict;
    };
    const parents = new Map<number, PdfRef>();
    const nums = pdf.resolve(
      dict(dict(pdf.root.get('StructTreeRoot')).get('ParentTree')).get('Nums'),
    ) as PdfValue[];
    nums.forEach((key, k) => {
      if (k % 2 === 0) parents.set(key as number, nums[k + 1] as PdfRef);
    });
    const outlines = headings();
    const entries = ofType('TOCI');
    expect(entries.length).toBe(outlines.length);
    entries.forEach((entry, k) => {
      const link = only(only(entry));
      expect(nameIn(link, 'S')).toBe('Link');
      const [words, pointer] = kidsOf(link);
      expect([typeof words, nameIn(pointer as PdfDict, 'Type')]).toEqual(['number', 'OBJR']);
      const annotation = dict((pointer as PdfDict).get('Obj'));
      expect([nameIn(annotation, 'Subtype'), annotation.get('F')]).toEqual(['Link', 4]);
      const [itself] = pdf.resolve(only(entry).get('K')) as PdfRef[];
      expect(parents.get(annotation.get('StructParent') as number)?.id).toBe(itself!.id);
      const on = pages.find((page) => page.id === ((pointer as PdfDict).get('Pg') as PdfRef).id)!;
      const there = (pdf.resolve(dict(on).get('Annots')) as PdfRef[]).map(({ id }) => id);
      expect(there).toContain(((pointer as PdfDict).get('Obj') as PdfRef).id);
      const [page, how, left, height, zoom] = pdf.resolve(annotation.get('Dest')) as PdfValue[];
      const { title, page: at, top } = outlines[k]!;
      const number = pages.findIndex(({ id }) => id === (page as PdfRef).id) + 1;
      expect([number, (how as PdfName).name, left, zoom]).toEqual([at, 'XYZ', null, null]);
      expect(height as number).toBeGreaterThanOrEqual(top);
      expect(height as number).toBeLessThan(top + 40);
      expect(said(annotation.get('Contents'))).toBe(`${title}, page ${at}`);
    });
  });

  test('7.1: whatever is painted is a part of the structure or said to be none, and marks close as they opened', () => {
    for (const page of pages) {
      let depth = 0;
      const loose: string[] = [];
      for (const line of content(page).split('\n')) {
        const operator = /(\S+)$/.exec(line)?.[1] ?? '';
        if (operator === 'BDC' || operator === 'BMC') depth += 1;
        if (operator === 'EMC') depth -= 1;
        expect(depth === 0 || depth === 1).toBe(true);
        if (depth === 0 && ['Tj', 'TJ', 'Do', 'S', 's', 'f', 'f*', 'B', 'b', 'sh'].includes(operator))
          loose.push(line);
      }
      expect([depth, loose]).toEqual([0, []]);
    }
  });

  test('7.3: every picture has words, and a box on the page', () => {
    const figures = ofType('Figure');
    expect(figures.length).toBeGreaterThan(10);
    for (const figure of figures) {
      expect(said(figure.get('Alt')).length).toBeGreaterThan(10);
      expect(nameIn(figure, 'A') === undefined && (attribute(figure, 'BBox') as PdfValue[]).length).toBe(4);
    }
  });

  test('7.4: headings begin at the first level and leave none out', () => {
    const levels = structure().flatMap((e) => {
      const found = /^H(\d)$/.exec(nameIn(e, 'S') ?? '');
      return found ? [Number(found[1])] : [];
    });
    expect(levels[0]).toBe(1);
    expect(levels.every((level, k) => k === 0 || level <= levels[k - 1]! + 1)).toBe(true);
  });

  test('7.5: every head cell says what it is the head of; rows hold cells, tables hold rows', () => {
    for (const head of ofType('TH')) expect(attribute(head, 'Scope')).toBeInstanceOf(PdfName);
    const kidsOf = (element: PdfDict) =>
      ((pdf.resolve(element.get('K')) ?? []) as PdfValue[]).map((kid) => nameIn(dict(kid), 'S'));
    for (const table of ofType('Table')) expect(new Set(kidsOf(table))).toEqual(new Set(['TR']));
    for (const row of ofType('TR'))
      expect(kidsOf(row).every((kid) => kid === 'TH' || kid === 'TD')).toBe(true);
    // Whoever hears a cell hears of what it is: each row of several cells begins with its own head.
    const rows = ofType('TR').map(kidsOf);
    expect(rows.filter((cells) => cells.length > 1 && cells[0] !== 'TH')).toEqual([]);
    for (const list of ofType('L')) expect(new Set(kidsOf(list))).toEqual(new Set(['LI']));
  });

  test('7.1: only names of the standard structure are used', () => {
    const standard =
      'Document P H1 H2 L LI Lbl LBody Table TR TH TD Figure Form TOC TOCI Reference Link'.split(' ');
    expect(
      [...new Set(structure().map((e) => nameIn(e, 'S')!))].filter((s) => !standard.includes(s)),
    ).toEqual([]);
  });
});

describe('PAdES B-B', () => {
  test('6.3: the dictionary has what it must, no certificate of its own, and the time that is printed', () => {
    expect([...signature().keys()].sort()).toEqual(
      ['ByteRange', 'Contents', 'Filter', 'M', 'Name', 'Reason', 'Reference', 'SubFilter', 'Type'].sort(),
    );
    expect(nameIn(signature(), 'SubFilter')).toBe('ETSI.CAdES.detached');
    expect(said(signature().get('M'))).toBe('D:20260304100000Z');
    expect(said(signature().get('Name'))).toBe(shop);
  });

  test('12.8.1: the range is the whole file but the signature, whose room is filled with zeros', () => {
    const range = signature().get('ByteRange') as number[];
    const { from, to, bytes: held } = textIn(signature(), 'Contents')!;
    expect(range).toEqual([0, from, to, bytes.length - to]);
    expect(held.subarray(cms().length).every((byte) => byte === 0)).toBe(true);
    expect(bytes.toString('latin1', bytes.length - 6)).toBe('%%EOF\n');
  });

  test('12.8.2.2: it certifies, permits nothing, and carries no digest of objects', () => {
    const references = signature().get('Reference') as PdfValue[];
    expect(references).toHaveLength(1);
    const reference = dict(references[0]);
    expect(nameIn(reference, 'TransformMethod')).toBe('DocMDP');
    expect(dict(reference.get('TransformParams')).get('P')).toBe(1);
    for (const barred of ['DigestLocation', 'DigestMethod', 'DigestValue'])
      expect(reference.has(barred)).toBe(false);
    expect(dict(pdf.root.get('Perms')).get('DocMDP')).toBeInstanceOf(PdfRef);
  });

  test('RFC 5652, 5035: three signed attributes in the order of DER, no time and no commitment among them', () => {
    const { attributes } = readSignedData(cms());
    const each = members(readElement(attributes)).map((e) => e.whole);
    expect(each).toHaveLength(3);
    expect([...each].sort(Buffer.compare)).toEqual(each);
    const has = (hex: string) => attributes.includes(Buffer.from(hex, 'hex'));
    // content-type, message-digest, signing-certificate-v2; not signing-time, nor commitment-type.
    expect(['2a864886f70d010903', '2a864886f70d010904', '2a864886f70d010910022f'].map(has)).toEqual([
      true,
      true,
      true,
    ]);
    expect(['2a864886f70d010905', '2a864886f70d0109100210'].map(has)).toEqual([false, false]);
  });
});
