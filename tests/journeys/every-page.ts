import type { Page } from 'playwright-core';
import { changePerson } from '../../src/logbook/shop-rules.js';
import { ines } from '../store/temp-store.js';
import { shopUnderTest, signedIn } from '../web/shop-under-test.js';
import { press } from './careful-fitter.js';
import { type JobAtStage, shopAtEveryStage } from './shop-at-every-stage.js';

/** A page as somebody sees it: `act` is what they do on it first, where the page is the answer to a form. */
export interface Visit {
  readonly name: string;
  readonly site: string;
  readonly path: string;
  /** The cookie of who looks; empty for whoever has no session. */
  readonly cookie: string;
  readonly act?: (page: Page) => Promise<unknown>;
}

/** Addresses that answer a file or a word for a program: nobody looks at them. */
export const noPages = [
  '/health',
  '/version',
  '/schemas/:schema',
  '/assets/*',
  '/form-token',
  '/jobs/:job/readings.csv',
  '/jobs/:job/record/:revision',
  '/jobs/:job/export',
  '/o/:token/record',
  '/photos/:photo',
  '/photos/:photo/small',
];

/** Every page of the product: before the shop is set up, with nothing in it, and with jobs at every stage. */
export async function everyPage(): Promise<Visit[]> {
  return [...(await beforeSetUp()), ...(await emptyShop()), ...(await workingShop())];
}

/** Of the steps and readings one of each kind. */
export function oneOfEach(visits: readonly Visit[]): Visit[] {
  return visits.filter(({ name }) => !name.includes(', another '));
}

/** Opens a page as its visitor does. */
export async function visit(page: Page, { site, path, cookie, act }: Visit): Promise<void> {
  await page.context().clearCookies();
  if (cookie !== '') {
    const [name, value] = cookie.split('=') as [string, string];
    await page.context().addCookies([{ name, value, url: site }]);
  }
  await page.goto(`${site}${path}`);
  await act?.(page);
  await page.evaluate('document.fonts.ready.then(() => undefined)');
}

const sent = (selector: string) => (page: Page) => press(page, selector);

async function beforeSetUp(): Promise<Visit[]> {
  const { app } = await shopUnderTest({ named: false });
  const site = await app.listen({ port: 0, host: '127.0.0.1' });
  const first = { site, path: '/set-up', cookie: '' };
  return [
    { name: 'first start', ...first },
    { name: 'first start to mend', ...first, act: sent('main button.go') },
  ];
}

async function emptyShop(): Promise<Visit[]> {
  const shop = await shopUnderTest();
  const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
  const { cookie } = signedIn(shop, 'ines');
  const closed = async (page: Page) => {
    shop.store.closeForWriting('entry 12 of job 2026-001 does not agree with its digest');
    await page.reload();
  };
  return [
    { name: 'no job yet', site, path: '/', cookie },
    { name: 'no instrument yet', site, path: '/instruments', cookie },
    { name: 'no key yet', site, path: '/shop', cookie },
    { name: 'closed for writing', site, path: '/', cookie, act: closed },
    { name: 'closed for writing, sent', site, path: '/jobs/new', cookie, act: sent('main button.go') },
  ];
}

async function workingShop(): Promise<Visit[]> {
  const jobs = await shopAtEveryStage();
  const { shop, fitter, link, begun, ended, defect, dead, held } = jobs;
  const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
  const at = (name: string, path: string, act?: Visit['act'], cookie = fitter.cookie): Visit => ({
    ...{ name, site, path, cookie },
    ...(act ? { act } : {}),
  });
  const open = (name: string, path: string, act?: Visit['act']) => at(name, path, act, '');
  const checker = signedIn(shop, 'tam').cookie;
  const told = signedIn(shop, 'wilhelmina').cookie;
  shop.store.shop.append({
    by: ines,
    decide: (state) =>
      changePerson(state, 'wilhelmina', {
        name: 'Wilhelmina-Konstantina Featherstonehaugh',
        roles: ['fitter', 'checker'],
        active: true,
      }),
  });
  const ofChecker = (name: string, path: string) => at(name, path, undefined, checker);
  const withdrawn = async (page: Page) => {
    const record = `/jobs/${ended.number}/record`;
    await fitter.post(`${record}/1/withdrawal`, { 'reason.1': 'A torque was read wrong.' }, { page: record });
    await page.reload();
  };
  return [
    open('sign in', '/sign-in'),
    open('sign in to mend', '/sign-in', sent('main button.go')),
    open('owner', link),
    open('owner to mend', link, async (page) => {
      await page.fill('[name="signature.name"]', '');
      await press(page, '#acknowledge button.go');
    }),
    open('owner without a link', `/o/${'A'.repeat(32)}`),
    open('check a record', '/verify'),
    open('check no record', '/verify', sent('main button.go')),
    open('glossary', '/glossary'),
    open('not signed in', '/people'),
    ofChecker('not allowed', '/people'),
    at('nothing there', '/nowhere'),
    at('account', '/account'),
    at('account to mend', '/account', sent('form[action="/account/passphrase"] button')),
    at('people', '/people'),
    at('people to mend', '/people', sent('main button.go')),
    at('person', '/people/wilhelmina'),
    at('instruments', '/instruments'),
    ofChecker('instruments of a checker', '/instruments'),
    at('instruments to mend', '/instruments', sent('main button.go')),
    at('instrument', '/instruments/i-meter'),
    at('shop', '/shop'),
    at('shop to mend', '/shop', async (page) => {
      await page.fill('main [name=name]', '');
      await press(page, 'form[action="/shop"] button');
    }),
    at('jobs', '/'),
    ofChecker('jobs of a checker', '/'),
    at('jobs, none found', '/?q=zeppelin'),
    at('new job', '/jobs/new'),
    at('new job to mend', '/jobs/new', sent('main button.go')),
    at('readings without a job', '/readings-without-a-job'),
    at('readings without a job to mend', '/readings-without-a-job', sent('main button.go')),
    at('sketch', '/sketch'),
    at('told what another did', `/jobs/${dead.number}`, undefined, told),
    at('job begun', `/jobs/${begun}`),
    at('job closed', `/jobs/${jobs.closed.number}`),
    at('what a change opens', jobs.changed),
    at('circuit first', `/jobs/${begun}/circuit`),
    at('circuit first, parts filled in', `/jobs/${begun}/circuit`, sent('button[value=parts]')),
    at('circuit first to mend', `/jobs/${begun}/circuit`, sent('button.go[value=save]')),
    at('circuit grown', `/jobs/${begun}/circuit`, async (page) => {
      for (const button of ['add-outlet', 'add-load:0', 'add-load:1', 'add-source', 'add-set'])
        await press(page, `button[value="${button}"]`);
    }),
    ...pagesOf(at, 'held', held),
    at('job reopened', `/jobs/${dead.number}`),
    at('step reopened', `/jobs/${dead.number}/steps/${dead.job().next?.step.id}`),
    at('readings reopened', `/jobs/${dead.number}/readings`),
    ...pagesOf(at, 'defect', defect),
    ...pagesOf(at, 'handed over', ended),
    ofChecker('second look of a checker', `/jobs/${dead.number}/second-look`),
    at('step to mend', stepAsking(defect), sent('#write button.go')),
    at('reading to mend', `/jobs/${defect.number}/readings/ground-path.locker`, sent('#entry button.go')),
    at('mend to mend', firstDefect(defect), sent('#mend button.go')),
    at('record to mend', `/jobs/${ended.number}/record`, async (page) => {
      await page.click('#issue summary');
      await press(page, '#issue button.go');
    }),
    open('owner after withdrawal', link, withdrawn),
    at('record withdrawn', `/jobs/${ended.number}/record`),
  ];
}

type At = (name: string, path: string) => Visit;

function pagesOf(at: At, stage: string, { number, job }: JobAtStage): Visit[] {
  const { steps, readings, defects, next } = job();
  const seen = new Set<string>();
  const oneOrAnother = (kind: string) => {
    const word = seen.has(kind) ? 'another ' : '';
    seen.add(kind);
    return word;
  };
  const of = (name: string, path: string) => at(`${stage}, ${name}`, `/jobs/${number}${path}`);
  return [
    of('job', ''),
    ...['circuit', 'sheet', 'readings', 'defects', 'logbook', 'second-look', 'record', 'description'].map(
      (page) => of(page, `/${page}`),
    ),
    of('part', '/parts/inlet'),
    of('change', '/changes/2'),
    ...(next === undefined ? [] : [of('next step', `/steps/${next.step.id}`)]),
    ...[...steps.values()].map(({ step }) =>
      of(`${oneOrAnother(step.stage)}step ${step.id}`, `/steps/${step.id}`),
    ),
    ...[...readings.values()].map(({ planned, verdict }) =>
      of(`${oneOrAnother(`${planned.test} ${verdict}`)}reading ${planned.id}`, `/readings/${planned.id}`),
    ),
    ...defects.map(({ defect }) => of(`defect ${defect.seq}`, `/defects/${defect.seq}`)),
  ];
}

/** A step with fields that can be written down at once. */
function stepAsking({ number, job }: JobAtStage): string {
  const step = [...job().steps.values()].find(
    (s) => s.status === 'ready' && s.step.asks.some((ask) => ask.kind !== 'photo'),
  );
  if (step === undefined) throw new Error('no step asks for anything');
  return `/jobs/${number}/steps/${step.step.id}`;
}

function firstDefect({ number, job }: JobAtStage): string {
  return `/jobs/${number}/defects/${job().defects[0]?.defect.seq}`;
}
