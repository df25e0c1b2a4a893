import { createRequire } from 'node:module';
import fastifyStatic from '@fastify/static';
import type { FastifyInstance } from 'fastify';
import { packageRoot } from '../package-root.js';

const facePackage = '@expo-google-fonts/source-sans-3';
const faces = [
  '400Regular/SourceSans3_400Regular.ttf',
  '400Regular_Italic/SourceSans3_400Regular_Italic.ttf',
  '600SemiBold/SourceSans3_600SemiBold.ttf',
  '700Bold/SourceSans3_700Bold.ttf',
];

/** Serves the stylesheet, the scripts and the face. Nothing else of the disk can be reached by an address. */
export async function registerAssets(app: FastifyInstance): Promise<void> {
  const faceFolder = createRequire(import.meta.url)
    .resolve(`${facePackage}/package.json`)
    .replace(/\/package\.json$/, '');
  await app.register(fastifyStatic, {
    root: [`${packageRoot}/views/assets`, faceFolder],
    prefix: '/assets/',
    index: false,
    dotfiles: 'deny',
    maxAge: 3_600_000,
    allowedPath: (path) =>
      !path.includes('..') && (/^\/[a-z0-9-]+\.(css|js|svg)$/.test(path) || faces.includes(path.slice(1))),
  });
}
