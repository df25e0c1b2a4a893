interface Series {
  readonly name: string;
  /** One time for each size, ms. */
  readonly ms: readonly number[];
}

const paper = { width: 760, height: 440 };
const plot = { left: 70, right: 500, top: 50, bottom: 380 };
const dashes = ['none', '8 4', '2 4', '12 4 2 4', '6 6'];
const marks = ['●', '■', '▲', '◆', '○'];

/** Times over the number of jobs, which goes in tens; told apart by marks and dashes, each named at its end. */
export function growthSvg(sizes: readonly number[], series: readonly Series[]): string {
  const top = niceTop(Math.max(...series.flatMap((s) => s.ms)));
  const [first = 1, last = 10] = [sizes[0], sizes.at(-1)];
  const x = (jobs: number) =>
    plot.left +
    ((Math.log10(jobs) - Math.log10(first)) / Math.log10(last / first)) * (plot.right - plot.left);
  const y = (ms: number) => plot.bottom - (ms / top) * (plot.bottom - plot.top);
  const ends = spread(series.map((s) => y(s.ms.at(-1) ?? 0)));
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${paper.width} ${paper.height}" width="${paper.width}" height="${paper.height}" font-family="sans-serif" font-size="13" fill="#111">`,
    '<title>Time of a page over the number of jobs</title>',
    `<rect width="${paper.width}" height="${paper.height}" fill="#fff"/>`,
    text(plot.left, 26, 'Time of a page, ms, over the number of jobs', 'font-weight="bold"'),
    ...[0, 0.25, 0.5, 0.75, 1].flatMap((part) => [
      `<line x1="${plot.left}" x2="${plot.right}" y1="${at(y(top * part))}" y2="${at(y(top * part))}" stroke="#ccc"/>`,
      text(
        plot.left - 8,
        y(top * part) + 4,
        String(Number((top * part).toPrecision(3))),
        'text-anchor="end"',
      ),
    ]),
    ...sizes.flatMap((jobs) => [
      `<line x1="${at(x(jobs))}" x2="${at(x(jobs))}" y1="${plot.bottom}" y2="${plot.bottom + 5}" stroke="#111"/>`,
      text(x(jobs), plot.bottom + 20, jobs.toLocaleString('en'), 'text-anchor="middle"'),
    ]),
    text(
      (plot.left + plot.right) / 2,
      plot.bottom + 44,
      'Jobs in the shop (each step ten times as many)',
      'text-anchor="middle"',
    ),
    ...series.flatMap(({ name, ms }, k) => [
      `<polyline fill="none" stroke="#111" stroke-width="1.5" stroke-dasharray="${dashes[k % dashes.length]}" points="${ms.map((v, n) => `${at(x(sizes[n] ?? first))},${at(y(v))}`).join(' ')}"/>`,
      ...ms.map((v, n) => text(x(sizes[n] ?? first), y(v) + 4.5, mark(k), 'text-anchor="middle"')),
      text(plot.right + 14, (ends[k] ?? 0) + 4, `${mark(k)} ${name}`),
    ]),
    '</svg>\n',
  ].join('\n');
}

const mark = (k: number) => marks[k % marks.length] as string;
const at = (length: number) => length.toFixed(1);

function text(x: number, y: number, words: string, more = ''): string {
  const escaped = words.replace(/[&<>]/g, (c) => ({ '&': '&amp;', '<': '&lt;', '>': '&gt;' })[c] as string);
  return `<text x="${at(x)}" y="${at(y)}" ${more}>${escaped}</text>`;
}

/** The least of 1, 2, 4, 6, 8 with noughts behind it that is not under the largest value. */
function niceTop(most: number): number {
  const ten = 10 ** Math.floor(Math.log10(most));
  return ([1, 2, 4, 6, 8, 10].find((n) => n * ten >= most) ?? 10) * ten;
}

/** The same heights, moved apart as far as lines of text need. */
function spread(heights: readonly number[]): number[] {
  const apart = 18;
  const placed = [...heights];
  const order = heights.map((_, k) => k).sort((a, b) => (heights[b] ?? 0) - (heights[a] ?? 0));
  for (const [n, k] of order.entries()) {
    const below = order[n - 1];
    if (below !== undefined) placed[k] = Math.min(placed[k] ?? 0, (placed[below] ?? 0) - apart);
  }
  return placed;
}
