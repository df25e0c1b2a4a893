import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { type Point, points } from './electronic-records.js';

/**
 * 21 CFR part 11 is used here as the strictest public yardstick for records and signatures kept by a machine. It binds
 * other trades than this one, and nothing here says that it is complied with: each point has the tests that show what the
 * product does about it, or why it does not.
 * @source 21 CFR 11.10, 11.30, 11.50, 11.70, 11.100, 11.200, 11.300, as the points of `electronic-records.ts` name them
 */
describe('every point of the yardstick', () => {
  test('stands in the table once, in the order of the text', () => {
    expect(points.map((p) => p.point)).toEqual([
      ...'abcdefghijk'.split('').map((letter) => `11.10(${letter})`),
      '11.30',
      '11.50(a)(1)',
      '11.50(a)(2)',
      '11.50(a)(3)',
      '11.50(b)',
      '11.70',
      '11.100(a)',
      '11.100(b)',
      '11.200(a)(1)',
      '11.200(a)(1)(i)',
      '11.200(a)(1)(ii)',
      '11.200(a)(2)',
      '11.200(a)(3)',
      '11.200(b)',
      ...'abcde'.split('').map((letter) => `11.300(${letter})`),
    ]);
  });

  test.each(points)('$point is shown by tests that are there, or said not to be met and why', (point) => {
    expect(missing(point)).toEqual([]);
    expect('notMet' in point ? point.notMet.length : point.shownBy.length).toBeGreaterThan(0);
  });
});

test('a test that is not there would be missed', () => {
  const point = '11.10(a)';
  expect(missing({ point, asks: '', shownBy: [['tests/store/heads.test.ts', 'no such test']] })).toHaveLength(
    1,
  );
  expect(missing({ point, asks: '', shownBy: [['tests/store/no-such.test.ts', '']] })).toHaveLength(1);
});

test('no page, command or record claims to comply with anything', () => {
  const said = ['src', 'views', 'README.md']
    .flatMap(filesUnder)
    .map((file) => [file, readFileSync(file, 'utf8')] as const);
  expect(said.length).toBeGreaterThan(200);
  for (const [file, text] of said)
    expect([file, /\bcomplian(t|ce)\b|\bcomplies\b|part 11|21 cfr/i.exec(text)?.[0]]).toEqual([
      file,
      undefined,
    ]);
});

function missing(point: Point): string[] {
  if ('notMet' in point) return [];
  return point.shownBy.flatMap(([file, title]) =>
    existsSync(file) && readFileSync(file, 'utf8').includes(title) ? [] : [`${file}: ${title}`],
  );
}

function filesUnder(path: string): string[] {
  if (path.includes('.')) return [path];
  return readdirSync(path, { withFileTypes: true }).flatMap((entry) =>
    entry.isDirectory() ? filesUnder(`${path}/${entry.name}`) : [`${path}/${entry.name}`],
  );
}
