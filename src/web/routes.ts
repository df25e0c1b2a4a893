import type { FastifyInstance } from 'fastify';
import type { Role } from '../logbook/shop-entry.js';
import { registerAccountPages } from './account-page.js';
import { registerHealth } from './health.js';
import { registerInstrumentPages } from './instrument-page.js';
import { registerJobPages } from './job-pages.js';
import { registerPeoplePages } from './people-page.js';
import { registerPhotos } from './photo-page.js';
import type { Services } from './services.js';
import { registerSetUp } from './set-up-page.js';
import { registerShopPage } from './shop-page.js';
import { registerSignIn } from './sign-in-page.js';

/** Who may open an address: anyone, anyone with a session, or who holds a role. */
export type Access = 'open' | 'person' | Role;

/** Every address in the order of the work. One that is not here cannot be registered. */
export const addresses: readonly (readonly [method: string, url: string, access: Access, what: string])[] = [
  ['GET', '/health', 'open', 'whether the server runs and may write'],
  ['GET', '/assets/*', 'open', 'the stylesheet, the scripts, the face'],

  ['GET', '/set-up', 'open', 'first start: the shop, its first person, its key'],
  ['POST', '/set-up', 'open', 'makes them'],
  ['GET', '/sign-in', 'open', 'sign in'],
  ['POST', '/sign-in', 'open', 'opens a session'],
  ['POST', '/sign-out', 'person', 'ends it'],

  ['GET', '/account', 'person', 'own passphrase and sessions'],
  ['POST', '/account/passphrase', 'person', 'changes it'],
  ['POST', '/account/sessions/end', 'person', 'ends one of them, or all others'],

  ['GET', '/people', 'keeper', 'who is in the shop'],
  ['POST', '/people', 'keeper', 'adds a person'],
  ['GET', '/people/:person', 'keeper', 'one person'],
  ['POST', '/people/:person', 'keeper', 'changes name, roles or standing'],
  ['POST', '/people/:person/passphrase', 'keeper', 'gives a passphrase for one sign-in'],
  ['POST', '/people/:person/sessions/end', 'keeper', 'ends all of their sessions'],
  ['GET', '/instruments', 'person', 'what is measured with'],
  ['POST', '/instruments', 'keeper', 'adds an instrument'],
  ['GET', '/instruments/:instrument', 'keeper', 'one instrument'],
  ['POST', '/instruments/:instrument', 'keeper', 'changes or retires it'],
  ['GET', '/shop', 'keeper', 'name, place, units, signing key'],
  ['POST', '/shop', 'keeper', 'changes name, place or units'],

  ['GET', '/', 'person', 'the list of jobs'],
  ['GET', '/photos/:photo', 'person', 'a photo'],
  ['GET', '/photos/:photo/small', 'person', 'the same, small'],
];

/** Who may open an address, or undefined where it is not in the list. */
export function accessTo(method: string, url: string): Access | undefined {
  return addresses.find(([m, u]) => m === method && u === url)?.[2];
}

/** Registers every page. */
export function registerRoutes(app: FastifyInstance, services: Services): void {
  registerHealth(app, services);
  registerSetUp(app, services);
  registerSignIn(app, services);
  registerAccountPages(app, services);
  registerPeoplePages(app, services);
  registerInstrumentPages(app, services);
  registerShopPage(app, services);
  registerPhotos(app, services);
  registerJobPages(app, services);
}
