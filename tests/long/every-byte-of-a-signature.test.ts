import { Buffer } from 'node:buffer';
import { expect, onTestFinished, test } from 'vitest';
import { readElement } from '../../src/record/der.js';
import { openSigner } from '../../src/record/keys.js';
import { keysFromPkcs12 } from '../../src/record/own-key.js';
import { signPdf } from '../../src/record/sign-pdf.js';
import { stampPdf } from '../../src/record/stamp-pdf.js';
import { timestampAuthority } from '../../src/record/timestamp-authority.js';
import { verifyRecord } from '../../src/record/verify-pdf.js';
import { runJava } from '../outside/java-tool.js';
import { honest, opensslAuthority, timestampServer } from '../record/openssl-authority.js';
import { opensslOwnKey, ownPassphrase } from '../record/openssl-own-key.js';
import { cutSignature, filesIn } from '../record/outside-tool.js';
import { smallRecord } from '../record/small-record.js';

test('one changed bit in each byte of a stamped signature by a brought key is called not intact, and BouncyCastle takes the whole', async () => {
  const issuedAt = new Date(Math.ceil(Date.now() / 1000) * 1000 + 60_000);
  const secret = 'kept elsewhere';
  const keys = keysFromPkcs12(opensslOwnKey().file, { passphrase: ownPassphrase, now: issuedAt, secret });
  const signer = openSigner({ ...keys, secret });
  const server = await timestampServer(honest(opensslAuthority({ key: 'rsa' })));
  onTestFinished(() => server.close());
  const signed = await signPdf(await smallRecord(signer, issuedAt), signer);
  const { pdf, withoutTimestamp } = await stampPdf(
    { pdf: signed, issuedAt: issuedAt.toISOString() },
    timestampAuthority(server.address),
  );
  expect(withoutTimestamp).toBeUndefined();
  const { cms, covered } = cutSignature(pdf);
  const files = filesIn({ cms, covered });
  expect(runJava('CheckTimestamp', [files.cms, files.covered]).trim().split('\n')).toEqual([
    'signature true',
    'timestamp true',
  ]);

  const start = pdf.indexOf('/Contents <') + '/Contents <'.length;
  const size = readElement(cms).whole.length;
  const missed: number[] = [];
  for (let byte = 0; byte < size; byte += 1) {
    const changed = Buffer.from(pdf);
    changed.write((cms[byte]! ^ (1 << (byte % 8))).toString(16).padStart(2, '0'), start + 2 * byte, 'latin1');
    if ((await verifyRecord(changed)).state !== 'not-intact') missed.push(byte);
  }
  expect(size).toBeGreaterThan(4000);
  expect(missed).toEqual([]);
}, 300_000);
