import type { FastifyInstance } from 'fastify';
import { registerCircuitPage } from './circuit-page.js';
import { registerDefectPages } from './defect-page.js';
import { registerExport } from './export-page.js';
import { registerJobList } from './job-list-page.js';
import { registerJobNew } from './job-new-page.js';
import { registerJobPage } from './job-page.js';
import { registerLogbookPage } from './logbook-page.js';
import { registerOwnerLink } from './owner-link.js';
import { registerOwnerPage } from './owner-page.js';
import type { PassphraseAgain } from './passphrase-again.js';
import { registerReadingPage } from './reading-page.js';
import { registerReadingsPage } from './readings-page.js';
import { registerReadingsWithoutJob } from './readings-without-job-page.js';
import { registerRecordPage } from './record-page.js';
import { registerSecondLook } from './second-look-page.js';
import type { Services } from './services.js';
import { registerSheetPage } from './sheet-page.js';
import { registerSketch } from './sketch-page.js';
import { registerStepPage } from './step-page.js';
import { registerVerifyPage } from './verify-page.js';

/** The pages of a job in the order of the work, and those that need none. */
export function registerJobPages(
  app: FastifyInstance,
  services: Services,
  passphraseAgain: PassphraseAgain,
): void {
  registerJobList(app, services);
  registerJobNew(app, services);
  registerJobPage(app, services);
  registerCircuitPage(app, services);
  registerSheetPage(app, services);
  registerStepPage(app, services);
  registerReadingsPage(app, services);
  registerReadingPage(app, services);
  registerDefectPages(app, services);
  registerLogbookPage(app, services);
  registerSecondLook(app, services, passphraseAgain);
  registerRecordPage(app, services, passphraseAgain);
  registerOwnerLink(app, services);
  registerExport(app, services);
  registerOwnerPage(app, services);
  registerVerifyPage(app, services);
  registerReadingsWithoutJob(app, services);
  registerSketch(app, services);
}
