import { expect, test } from 'vitest';
import { described, freshKey, ines, made } from '../../store/temp-store.js';
import { plain } from '../read-form.js';
import { Browser, type ShopUnderTest, shopUnderTest, signedIn, toMend } from '../shop-under-test.js';

const words = (html: string) => plain(html.replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');
const listed = (html: string) => [...html.matchAll(/<h2><a href="\/jobs\/([^"]+)"/g)].map((m) => m[1]);
const link = (html: string, rel: string) =>
  plain(new RegExp(`<a class="button" href="([^"]*)" rel="${rel}"`).exec(html)?.[1] ?? '');

function openJobs({ store, clock }: ShopUnderTest, count: number, owner = 'Odile Brandt'): void {
  for (let k = 0; k < count; k += 1) {
    clock.move(60_000);
    const entry = { ...described, body: { ...described.body, owner } };
    const decide = () => ({ ok: true as const, value: [entry as typeof described] });
    made(store.jobs.open({ by: ines, key: freshKey(), content: '', decide }));
  }
}

test('the list goes page by page by its own links, and keeps what is searched in the address', async () => {
  const shop = await shopUnderTest();
  openJobs(shop, 43);
  openJobs(shop, 1, 'Nobody Else');
  const ines = signedIn(shop, 'ines');
  const seen: string[] = [];
  let address = '/?q=odile&state=open';
  for (let page = 0; address !== '' && page < 9; page += 1) {
    const { body, statusCode } = await ines.get(address);
    expect([statusCode, /name="q"[^>]*value="odile"/.test(body)]).toEqual([200, true]);
    expect(body).toMatch(/<option value="open" selected>/);
    seen.push(...(listed(body) as string[]));
    if (page > 0) expect(link(body, 'first')).toBe('/?q=odile&state=open');
    address = link(body, 'next');
  }
  const wanted = Array.from({ length: 43 }, (_, k) => `2026-${String(43 - k).padStart(3, '0')}`);
  expect(seen).toEqual(wanted);
  expect(listed((await ines.get('/')).body)[0]).toBe('2026-044');
});

test('a search that nothing fits says so, and one that cannot be read names its field and keeps what was typed', async () => {
  const shop = await shopUnderTest();
  openJobs(shop, 1);
  const ines = signedIn(shop, 'ines');
  expect(words((await ines.get('/?q=nobody')).body)).toContain('No job fits.');
  const long = await ines.get(`/?q=${'a'.repeat(101)}`);
  expect([long.statusCode, toMend(long.body)]).toEqual([422, ['Words: takes at most 100 characters']]);
  expect(long.body).toContain('a'.repeat(101));
  const state = await ines.get('/?q=keep+me&state=lost');
  expect([state.statusCode, toMend(state.body)]).toEqual([422, ['State: choose one of the list']]);
  expect(state.body).toContain('value="keep me"');
  const place = await ines.get('/?before=yesterday');
  expect([place.statusCode, toMend(place.body).length]).toEqual([422, 1]);
  for (const odd of ['/?q=1&q=2', '/?state[]=open', '/?before=2026-01-01T00:00:00.000Z_x'])
    expect((await ines.get(odd)).statusCode).toBe(200);
});

test('the list says how many jobs a search may miss', async () => {
  const shop = await shopUnderTest();
  openJobs(shop, 2);
  const ines = signedIn(shop, 'ines');
  expect((await ines.get('/')).body).not.toContain('still being put on the list');
  shop.store.db.prepare("UPDATE job_lines SET logic = '' WHERE job = '2026-001'").run();
  openJobs(shop, 1);
  const again = new Browser((await shopUnderTestOver(shop)).app);
  await again.signIn('ines');
  expect(words((await again.get('/')).body)).toContain('One job is still being put on the list');
});

/** The same folder, opened anew. */
async function shopUnderTestOver({ store }: ShopUnderTest): Promise<ShopUnderTest> {
  store.close();
  return shopUnderTest({ named: false, dir: store.dir });
}
