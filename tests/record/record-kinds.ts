import type { Buffer } from 'node:buffer';
import { circuitSchema } from '../../src/circuit/circuit.js';
import { foldJob } from '../../src/logbook/job-log.js';
import { type RecordDocument, recordDocument } from '../../src/record/document.js';
import { type IssueRequest, issueRecord } from '../../src/record/issue-record.js';
import { openSigner } from '../../src/record/keys.js';
import { keysFromPkcs12 } from '../../src/record/own-key.js';
import { timestampAuthority } from '../../src/record/timestamp-authority.js';
import { assess } from '../../src/steps/assess.js';
import { rulesVersion } from '../../src/trade/rules-version.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { played } from '../steps/played.js';
import { honest, opensslAuthority, timestampServer } from './openssl-authority.js';
import { opensslOwnKey, ownPassphrase } from './openssl-own-key.js';
import { photoBytes } from './sample-job.js';
import { sampleRequest } from './sample-record.js';
import { testSigner } from './small-record.js';

/** Every kind of record that outside readers must take, issued now, so that they find its certificates in force. */
export const recordKinds = [
  'on letter paper with photos',
  'on A4 without a photo or a checker, by a key made for the occasion',
  'with a long note and accented names, revision 3',
  'of eight outlets',
  'with a timestamp',
  'signed with a brought key',
] as const;
export type RecordKind = (typeof recordKinds)[number];

/** A record with what it was asked for and composed as. */
export interface IssuedKind {
  readonly request: IssueRequest;
  readonly document: RecordDocument;
  readonly pdf: Buffer;
}
/** A record of each kind, in their order. */
export async function issuedKinds(): Promise<Map<RecordKind, IssuedKind>> {
  const server = await timestampServer(honest(opensslAuthority()));
  const issued = new Map<RecordKind, IssuedKind>();
  for (const kind of recordKinds) issued.set(kind, await issue(await requestFor(kind, server.address)));
  await server.close();
  return issued;
}

async function requestFor(kind: RecordKind, authority: string): Promise<IssueRequest> {
  const now = new Date(Math.floor(Date.now() / 1000) * 1000);
  const issuedAt = now.toISOString().replace('.000', '');
  const signer = testSigner(new Date(now.getTime() - 86_400_000));
  switch (kind) {
    case 'on letter paper with photos':
      return sampleRequest(signer, { photos: 7 }, { issuedAt });
    case 'on A4 without a photo or a checker, by a key made for the occasion':
      return sampleRequest(
        signer,
        { photos: 0, worksAlone: true },
        { issuedAt, units: 'metric', keyForOccasion: true },
      );
    case 'with a long note and accented names, revision 3': {
      const note = 'Über den Kanal gezogen, naïvement; größte Biegung 65 mm, żółć, Ωμέγα. '.repeat(50);
      const facts = { issuedAt, revision: 3, shop: 'Wzdłużnica & Œuvre', issuedBy: 'Ñandú Überschall' };
      return sampleRequest(signer, { note }, facts);
    }
    case 'of eight outlets':
      return eightOutlets(await sampleRequest(signer, {}, { issuedAt, job: '2026-001' }));
    case 'with a timestamp':
      return {
        ...(await sampleRequest(signer, {}, { issuedAt })),
        authority: timestampAuthority(authority),
      };
    case 'signed with a brought key': {
      const secret = 'kept elsewhere';
      const made = opensslOwnKey();
      // Its certificate begins with the second in which it was made.
      const at = new Date(now.getTime() + 60_000);
      const keys = keysFromPkcs12(made.file, { passphrase: ownPassphrase, now: at, secret });
      const facts = { issuedAt: at.toISOString().replace('.000', '') };
      return sampleRequest(openSigner({ ...keys, secret }), {}, facts);
    }
  }
}

/** The demonstration's steps played for a run of eight. */
function eightOutlets(request: IssueRequest): IssueRequest {
  const demo = demoCircuit();
  const run = Array.from({ length: 8 }, (_, k) => ({
    ...demo.run[Math.min(k, 2)]!,
    id: `out${k + 1}`,
    feed: { ...demo.run[1]!.feed, lengthM: 0.5 },
    place: `bench ${k + 1}`,
    loads: [{ name: `lamp ${k + 1}`, watts: 60 + k, continuous: false, fastened: false }],
  }));
  const entries = played(circuitSchema.parse({ ...demo, run, together: [] }));
  const [picture] = photoBytes.values();
  return {
    ...request,
    assessment: assess(foldJob(entries))!,
    photos: () => picture,
    jobFile: JSON.stringify({ format: 'inlet-job/1', entries }),
  };
}

async function issue(request: IssueRequest): Promise<IssuedKind> {
  const { fingerprint, rootFingerprint } = request.signer;
  const document = recordDocument(request.assessment, {
    ...request.facts,
    fingerprint,
    rootFingerprint,
    rules: rulesVersion,
  });
  return { request, document, pdf: (await issueRecord(request)).pdf };
}
