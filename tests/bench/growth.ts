import { mkdirSync, writeFileSync } from 'node:fs';
import { growthSvg } from './growth-svg.js';
import { keptShop } from './kept-shop.js';
import { timesOfPages } from './listed-pages.js';
import { startsOf } from './many-jobs.js';

const sizes = [10, 100, 1000, 10_000, 100_000];
const plotted = [
  'the list of jobs',
  'one job by its plate',
  'a word that one in seven answers',
  'a step’s page',
];
const file = '.test-output/growth.svg';

/** Prints how each page's time and the start grow with the number of jobs, and draws it. */
export async function plotGrowth(entriesEach: number): Promise<void> {
  const times = await timesOfPages(sizes.map((jobs) => ({ jobs, entries: entriesEach })));
  const dirs: string[] = [];
  for (const jobs of sizes) dirs.push(await keptShop(jobs, entriesEach));
  const rows: Readonly<Record<string, readonly number[]>> = {
    ...times,
    'the start to the first page': await startsOf(dirs, 3),
  };
  const width = Math.max(...Object.keys(rows).map((name) => name.length)) + 2;
  const line = (name: string, cells: readonly string[]) =>
    console.log(`${name.padEnd(width)}${cells.map((cell) => cell.padStart(10)).join('')}`);
  line(
    'ms, by jobs',
    sizes.map((jobs) => jobs.toLocaleString('en')),
  );
  for (const [name, cells] of Object.entries(rows))
    line(
      name,
      cells.map((ms) => ms.toFixed(ms < 100 ? 1 : 0)),
    );
  mkdirSync('.test-output', { recursive: true });
  const series = Object.entries(rows)
    .filter(([name]) => plotted.includes(name))
    .map(([name, ms]) => ({ name, ms }));
  writeFileSync(file, growthSvg(sizes, series));
  console.log(`drawn in ${file}`);
}
