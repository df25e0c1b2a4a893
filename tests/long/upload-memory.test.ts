import { randomUUID } from 'node:crypto';
import { readFileSync } from 'node:fs';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { fieldId } from '../../src/web/page/form.js';
import { hostileFiles } from '../store/hostile-pictures.js';
import { blankPng, jpegSaying, picture } from '../store/make-picture.js';
import { tempFolder } from '../store/temp-store.js';
import { toMend } from '../web/shop-under-test.js';
import { Phone, photoForm } from './real-server/phone.js';
import {
  makeShopAtGroundPath,
  type RealServer,
  standing,
  startServer,
  written,
} from './real-server/real-server.js';

const mostMegabytes = 500;
const link = `href="#${fieldId(`photo.${written.photoAsk}`)}"`;

test('pictures that are built to break a server, one by one and four at once, and thirty good ones leave it answering within its memory', async () => {
  const dir = tempFolder();
  await makeShopAtGroundPath(dir);
  const server = await startServer(dir);
  const phone = await new Phone(server.address).signIn();
  const send = (bytes: Buffer) => phone.send(photoForm(randomUUID(), bytes));
  const answers = async () => expect((await phone.get('/health')).body).toBe('{"status":"writing"}');

  const files = [...(await hostileFiles()), ...(await twoKindsAtOnce())];
  expect(files.length).toBeGreaterThan(60);
  for (const { name, bytes, outcome } of files) {
    const reply = await send(bytes);
    // Of a file whose middle is rubbish either may come.
    if (outcome instanceof RegExp && !(outcome.source === '.' && reply.status === 303)) {
      expect([name, reply.status]).toEqual([name, 422]);
      expect([name, toMend(reply.body).join()]).toEqual([name, expect.stringMatching(outcome)]);
      expect([name, reply.body.includes(link)]).toEqual([name, true]);
    } else expect([name, reply.status]).toEqual([name, 303]);
    await answers();
  }

  const jpeg = await picture(300, 200).jpeg().toBuffer();
  const large = await picture(7000, 7000).jpeg({ quality: 60 }).toBuffer();
  const floods: readonly (readonly [string, Buffer, number])[] = [
    ['a PNG of 400 million pixels in 50 kB', blankPng(20_000), 422],
    ['a JPEG that says 65,000 by 65,000', jpegSaying(jpeg, 65_000, 65_000), 422],
    ['a PNG of 49 million pixels', blankPng(7000), 303],
    ['a JPEG of 49 million pixels', large, 303],
    ['a file of 15 MB that is no picture', Buffer.alloc(15 * 1024 * 1024 - 1, 1), 422],
  ];
  for (const [name, bytes, status] of floods) {
    const replies = await Promise.all(Array.from({ length: 4 }, () => send(bytes)));
    expect([name, replies.map((reply) => reply.status)]).toEqual([name, [status, status, status, status]]);
    await answers();
  }

  const tooLarge = await send(Buffer.concat([jpeg, Buffer.alloc(16 * 1024 * 1024)]));
  expect([tooLarge.status, toMend(tooLarge.body).join()]).toEqual([
    422,
    expect.stringMatching(/is larger than 15 MB/),
  ]);
  const many = Array.from({ length: 70 }, () => jpeg);
  const shelf = await phone.send(photoForm(randomUUID(), ...many));
  expect([shelf.status, toMend(shelf.body).join()]).toEqual([422, expect.stringMatching(/is one too many/)]);
  expect(
    (await phone.send({ ...photoForm(randomUUID(), jpeg), fields: { caption: 'x'.repeat(600_000) } })).status,
  ).toBe(413);
  await answers();

  for (let k = 0; k < 30; k += 1) expect([k, (await send(await photoOfPhone())).status]).toEqual([k, 303]);
  await answers();
  expect(peakMegabytes(server)).toBeLessThan(mostMegabytes);
  phone.leave();
  await server.end('SIGTERM');
  expect(standing(dir)).toMatchObject({ broken: undefined, fault: undefined });
});

/** Files that two programs would read as two kinds of thing. */
async function twoKindsAtOnce() {
  const jpeg = await picture(310, 200).jpeg().toBuffer();
  const png = await picture(320, 200).png().toBuffer();
  const pdf = Buffer.from('%PDF-1.7\n1 0 obj<</Type/Catalog>>endobj\ntrailer<</Root 1 0 R>>\n%%EOF');
  const page = Buffer.from('<!doctype html><script>alert(1)</script>');
  const refused = /is not a picture that can be kept/;
  return [
    {
      name: 'a JPEG that is a PDF as well',
      bytes: Buffer.concat([jpeg, pdf]),
      outcome: { width: 310, height: 200 },
    },
    { name: 'a PDF that is a JPEG as well', bytes: Buffer.concat([pdf, jpeg]), outcome: refused },
    {
      name: 'a PNG that is a page as well',
      bytes: Buffer.concat([png, page]),
      outcome: { width: 320, height: 200 },
    },
    { name: 'a page that is a PNG as well', bytes: Buffer.concat([page, png]), outcome: refused },
  ];
}

/** As a phone takes it: 12 million pixels that do not pack well, some megabytes, unlike any other. */
function photoOfPhone(): Promise<Buffer> {
  const noise = { type: 'gaussian', mean: 128, sigma: 20 } as const;
  return sharp({ create: { width: 1000, height: 750, channels: 3, background: '#7a3a12', noise } })
    .resize(4000, 3000, { kernel: 'nearest' })
    .jpeg({ quality: 90 })
    .toBuffer();
}

/** The most memory that the server ever had in use. @source proc_pid_status(5), VmHWM */
function peakMegabytes({ pid }: RealServer): number {
  const kilobytes = /^VmHWM:\s+(\d+) kB$/m.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1];
  return Number(kilobytes) / 1024;
}
