import type { FastifyInstance } from 'fastify';
import { registerCircuitPage } from './circuit/circuit-page.js';
import { registerSheetPage } from './circuit/sheet-page.js';
import { registerSketch } from './circuit/sketch-page.js';
import { registerExport } from './job/export-page.js';
import { registerJobNew } from './job/job-new-page.js';
import { registerJobPage } from './job/job-page.js';
import { registerLogbookPage } from './job/logbook-page.js';
import { registerSecondLook } from './job/second-look-page.js';
import type { PassphraseAgain } from './people/passphrase-again.js';
import { registerDefectPages } from './reading/defect-page.js';
import { registerReadingPage } from './reading/reading-page.js';
import { registerReadingsPage } from './reading/readings-page.js';
import { registerReadingsWithoutJob } from './reading/readings-without-job-page.js';
import { registerOwnerLink } from './record/owner-link.js';
import { registerOwnerPage } from './record/owner-page.js';
import { registerRecordPage } from './record/record-page.js';
import { registerVerifyPage } from './record/verify-page.js';
import type { Services } from './services.js';
import { registerJobList } from './shop/job-list-page.js';
import { registerStepPage } from './step/step-page.js';

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
