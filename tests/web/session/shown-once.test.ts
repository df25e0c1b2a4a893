import type { FastifyRequest } from 'fastify';
import { expect, test } from 'vitest';
import { type ShownOnce, showOnce, takeShown } from '../../../src/web/session/shown-once.js';

const of = (sessionId: string) => ({ session: { sessionId } }) as unknown as FastifyRequest;
const link = (job: string) => ({ job, address: `https://shop.example/r/${job}` });

test('a link is shown once, on its job’s page, to the session that made it', () => {
  const links: ShownOnce = new Map();
  showOnce(of('s1'), links, link('2026-001'));
  expect([takeShown(of('s2'), links, '2026-001'), takeShown(of('s1'), links, '2026-002')]).toEqual([
    undefined,
    undefined,
  ]);
  expect(takeShown(of('s1'), links, '2026-001')).toBe('https://shop.example/r/2026-001');
  expect(takeShown(of('s1'), links, '2026-001')).toBeUndefined();
});

test('the newer of two takes the place of the older, and of more than a hundred sessions the oldest is let go', () => {
  const links: ShownOnce = new Map();
  showOnce(of('s0'), links, link('2026-001'));
  for (let k = 1; k < 100; k += 1) showOnce(of(`s${k}`), links, link('2026-001'));
  showOnce(of('s0'), links, link('2026-002'));
  expect(links.size).toBe(100);
  showOnce(of('s100'), links, link('2026-001'));
  expect([takeShown(of('s1'), links, '2026-001'), takeShown(of('s0'), links, '2026-002')]).toEqual([
    undefined,
    'https://shop.example/r/2026-002',
  ]);
});
