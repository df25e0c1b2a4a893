import { type PublishedTable, rowWhere } from './published-table.js';
import type { Awg } from './wire.js';

export interface PullRow {
  readonly awg: Awg;
  readonly pounds: number;
}

/** What a crimped or screwed wire connector holds in its type test, for one minute. */
export const connectorPull: PublishedTable<PullRow> = {
  title: 'Pull that a wire connector holds in its type test',
  unit: 'lbf',
  source: { publication: 'UL 486A', clause: 'secureness and pull-out, one minute', sure: 'A' },
  rows: [
    { awg: 18, pounds: 20 },
    { awg: 16, pounds: 30 },
    { awg: 14, pounds: 50 },
    { awg: 12, pounds: 70 },
    { awg: 10, pounds: 80 },
    { awg: 8, pounds: 90 },
    { awg: 6, pounds: 100 },
  ],
};

/** What the terminal of a device holds in its type test. */
export const terminalPull: PublishedTable<PullRow> = {
  title: 'Pull-out that an equipment terminal holds in its type test',
  unit: 'lbf',
  source: { publication: 'UL 486E', clause: 'Table 22', sure: 'B' },
  rows: [
    { awg: 18, pounds: 6.75 },
    { awg: 16, pounds: 9 },
    { awg: 14, pounds: 11.5 },
    { awg: 12, pounds: 13.5 },
    { awg: 10, pounds: 18 },
    { awg: 8, pounds: 20.5 },
  ],
};

/** The type-test pull of a connector in lbf, or undefined. */
export function connectorPullPounds(awg: number): number | undefined {
  return rowWhere(connectorPull, (row) => row.awg === awg)?.pounds;
}

/** The type-test pull-out of a device's terminal in lbf, or undefined. */
export function terminalPullPounds(awg: number): number | undefined {
  return rowWhere(terminalPull, (row) => row.awg === awg)?.pounds;
}
