import type { FastifyRequest } from 'fastify';
import { isOfAnotherShop } from '../../logbook/key-terms.js';
import { standingRecord } from '../../logbook/standing-record.js';
import { concededLines } from '../../record/document/cover.js';
import { lettersNotPrinted } from '../../record/draw/printable.js';
import { grouped } from '../../record/grouped.js';
import { mayWrite } from '../../steps/entry-kinds.js';
import { inQuestion, type Since, sinceEntry } from '../../steps/since-record.js';
import { barLinks } from '../job/bar-links.js';
import type { WorkAt } from '../job/job-at.js';
import { drawJob } from '../job/job-drawing.js';
import { opensHereOnly } from '../page/own-address.js';
import type { Services } from '../services.js';
import { requirePerson } from '../session/guard.js';
import { takeShown } from '../session/shown-once.js';
import { apartText, jobPath, reasonText, sinceLine, whenText } from '../words/job-words.js';
import { ownerLinksModel } from './owner-links-model.js';
import { timestampOf } from './record-timestamps.js';

/** What the record's page shows: the bars, or the review before the signature; the revisions; the owner's links. */
export function recordModel({ number, log, job, zone }: WorkAt, services: Services, request: FastifyRequest) {
  const { store } = services;
  const shop = store.shop.state();
  const person = requirePerson(request);
  const shown = takeShown(request, services.shownOnce, number);
  const standing = standingRecord(log);
  const readings = [...job.readings.values()];
  const since = (written: Since) => sinceLine(written, zone);
  return {
    title: 'The record',
    labels: {
      signature: 'Your signature',
      'signature.name': 'Your signature, the name',
      passphrase: 'Your passphrase',
      heldBy: 'Who it is for',
      until: 'The last day',
      takesPlaceOf: 'Takes the place of',
      changed: 'Why there is a further revision',
      ...reasons(log.issued.length),
    },
    number,
    wide: true,
    backTo: 'job',
    bars: barLinks(number, job.barsIssue),
    drawing: drawJob(number, job, shop.units),
    notPrinted: lettersNotPrinted(log.entries),
    review: [
      {
        term: 'Sheet',
        value: countOf(job.sheet.length, 'line', `${job.sheet.filter((s) => s.concession).length} conceded`),
      },
      {
        term: 'Steps',
        value: countOf([...job.steps.values()].filter((s) => s.status === 'done').length, 'step', 'done'),
      },
      {
        term: 'Readings',
        value: `${readings.filter((r) => r.verdict === 'pass').length} pass, ${readings.filter((r) => r.concession).length} conceded`,
      },
      {
        term: 'Defects',
        value:
          job.defects.length === 0
            ? 'none raised'
            : `${job.defects.length} raised, all mended and tested again`,
      },
      { term: 'Photos', value: String(log.photos.length) },
      {
        term: 'Second look',
        value:
          log.secondLooks.at(-1)?.body.signature.name ??
          'none: the fitter works alone, and the record says so',
      },
    ],
    // As page one prints them: what was conceded is gone where it was mended or changed since.
    concessions: concededLines(job, zone),
    next: log.issued.length + 1,
    apart: apartText(log, zone),
    inQuestion: inQuestion(log).map(since),
    since: log.issued.length === 0 ? [] : sinceEntry(log, log.issued.at(-1)?.seq ?? 0).map(since),
    mayIssue: mayWrite('record issued', person.roles),
    me: person.name,
    action: jobPath(number, 'record'),
    revisions: [...log.issued].reverse().map((e) => {
      const withdrawn = log.withdrawn.get(e.body.revision);
      const acknowledged = log.acknowledged.find((a) => a.body.revision === e.body.revision);
      return {
        revision: e.body.revision,
        when: whenText(e.at, zone),
        by: e.body.signature.name,
        elsewhere: isOfAnotherShop(shop, e),
        sha256: e.body.sha256,
        fingerprint: grouped(e.body.fingerprint),
        timestamp: timestampOf(store.records, number, e, zone),
        kilobytes: Math.ceil(e.body.bytes / 1024),
        href: jobPath(number, 'record', e.body.revision),
        withdrawn: withdrawn && reasonText(withdrawn, zone),
        standing: e.seq === standing?.seq,
        reason: e.body.reason,
        acknowledged:
          acknowledged && `${acknowledged.body.signature.name}, ${whenText(acknowledged.at, zone)}`,
        withdraw: jobPath(number, 'record', e.body.revision, 'withdrawal'),
      };
    }),
    standing: standing?.body.revision,
    link: shown,
    linkOpensHere: shown !== undefined && opensHereOnly(shown),
    ...ownerLinksModel(services, number, log.described?.owner ?? ''),
    verify: '/verify',
  };
}

function reasons(revisions: number): Record<string, string> {
  return Object.fromEntries(
    Array.from({ length: revisions }, (_, k) => [`reason.${k + 1}`, `Why revision ${k + 1} is withdrawn`]),
  );
}

function countOf(count: number, noun: string, more: string): string {
  return `${count} ${count === 1 ? noun : `${noun}s`}, ${more}`;
}

declare module 'fastify' {
  interface Session {
    /** The key of the form that made the newest owner's link, so that a second press makes no second link. */
    ownerLinkKey?: string | undefined;
  }
}
