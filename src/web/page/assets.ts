import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { brotliCompressSync, gzipSync } from 'node:zlib';
import type { FastifyInstance } from 'fastify';
import { sha256Of } from '../../logbook/sha256.js';
import { packageRoot } from '../../package-root.js';

/** The parts of the one stylesheet, in the order in which they overrule each other. */
const styleParts = [
  'tones',
  'type',
  'frame',
  'cards',
  'words',
  'forms',
  'lists',
  'drawing',
  'on-the-phone',
  'job',
  'step',
  'defect',
  'circuit',
  'try',
  'logbook',
  'print',
] as const;
const faceCuts = ['400', '400-italic', '600', '700'] as const;
const types: Readonly<Record<string, string>> = {
  css: 'text/css; charset=utf-8',
  js: 'text/javascript; charset=utf-8',
  svg: 'image/svg+xml',
  woff2: 'font/woff2',
};

const packings = {
  br: (plain: Buffer) => brotliCompressSync(plain),
  gzip: (plain: Buffer) => gzipSync(plain, { level: 9 }),
} as const;
type Packing = keyof typeof packings;

interface Asset {
  readonly type: string;
  readonly etag: string;
  readonly plain: Buffer;
  /** By its packing, once somebody asked for it: a start does not wait for what its first page may not need. */
  readonly packed: Map<Packing, Buffer>;
}

const assets = readAssets();

/** The address of an asset, which changes with what it holds: a browser may keep it for good. */
export function assetAddress(name: string): string {
  const asset = assets.get(name);
  if (asset === undefined) throw new Error(`${name} is not among the assets`);
  return `/assets/${name}?v=${versionOf(asset)}`;
}

/**
 * Serves the stylesheet, the scripts and the face from memory: they are few and small, and so nothing of the disk can be
 * reached by an address. A script that another one imports has no version in its address, and is asked for anew.
 */
export function registerAssets(app: FastifyInstance): void {
  app.get<{ Params: { '*': string }; Querystring: { v?: string } }>('/assets/*', async (request, reply) => {
    const asset = assets.get(request.params['*']);
    if (asset === undefined) return reply.callNotFound();
    const kept = request.query.v === versionOf(asset);
    reply
      .header('etag', asset.etag)
      .header('vary', 'accept-encoding')
      .header('cache-control', kept ? 'public, max-age=31536000, immutable' : 'no-cache');
    if (request.headers['if-none-match'] === asset.etag) return reply.code(304).send();
    const accepted = String(request.headers['accept-encoding'] ?? '');
    reply.type(asset.type);
    // The face is packed by its own format.
    const packing = (['br', 'gzip'] as const).find((name) => accepted.includes(name));
    if (packing === undefined || asset.type === types.woff2) return reply.send(asset.plain);
    return reply.header('content-encoding', packing).send(packedAs(packing, asset));
  });
}

function packedAs(packing: Packing, { plain, packed }: Asset): Buffer {
  const body = packed.get(packing) ?? packings[packing](plain);
  packed.set(packing, body);
  return body;
}

function readAssets(): ReadonlyMap<string, Asset> {
  const all = new Map<string, Asset>();
  const faceFolder = createRequire(import.meta.url)
    .resolve('@fontsource/source-sans-3/package.json')
    .replace(/\/package\.json$/, '');
  // A face that comes late waits for the next page: words that move are missed by a thumb.
  const cuts = faceCuts
    .map((cut) => readFileSync(`${faceFolder}/${cut}.css`, 'utf8'))
    .join('\n')
    .replaceAll('font-display: swap', 'font-display: optional');
  // Browsers that these pages are for all read woff2.
  const face = cuts.replace(/url\(\.\/files\/([a-z0-9-]+\.woff2)\)[^;]*/g, (_, name: string) => {
    const font = makeAsset(name, readFileSync(`${faceFolder}/files/${name}`));
    all.set(name, font);
    return `url(/assets/${name}?v=${versionOf(font)}) format('woff2')`;
  });
  const style = [
    face,
    ...styleParts.map((part) => readFileSync(`${packageRoot}/views/style/${part}.css`, 'utf8')),
  ];
  all.set('inlet.css', makeAsset('inlet.css', Buffer.from(style.join('\n'))));
  const folder = `${packageRoot}/views/assets`;
  for (const name of readdirSync(folder)) all.set(name, makeAsset(name, readFileSync(`${folder}/${name}`)));
  return all;
}

function versionOf({ etag }: Asset): string {
  return etag.slice(1, 13);
}

function makeAsset(name: string, plain: Buffer): Asset {
  const type = types[name.slice(name.lastIndexOf('.') + 1)];
  if (type === undefined) throw new Error(`${name} is of no kind that is served`);
  const etag = `"${sha256Of(plain).slice(0, 24)}"`;
  return { type, etag, plain, packed: new Map() };
}
