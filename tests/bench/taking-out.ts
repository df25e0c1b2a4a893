import { lookAround } from './issuing.js';
import type { Measure } from './row.js';
import { largePhotos } from './served/pictures.js';
import { serveDemo } from './served/shop.js';
import { inFolder } from './served/start.js';

const atMostMs = 50;
const atMostMb = 400;
const photoCount = 100;
const times = 3;

/** How long the server is held up while somebody takes a whole job out as a zip, a hundred large photos with it, and others ask for pages. */
export const takingOut: Measure = () =>
  inFolder(async (dir) => {
    const shop = await serveDemo(`${dir}/shop`, { jobs: 1, photos: await largePhotos(photoCount) });
    const [job = ''] = shop.jobs;
    let bytes = 0;
    const takeOut = async () => {
      const url = `${shop.address}/jobs/${job}/export`;
      const answer = await fetch(url, { headers: { cookie: shop.cookie } });
      if (answer.status !== 200) throw new Error(`taking a job out answers ${answer.status}`);
      bytes = (await answer.arrayBuffer()).byteLength;
    };
    await lookAround(shop, job, takeOut());
    let ms = 0;
    const held = await shop.watched(async () => {
      const from = performance.now();
      for (let k = 0; k < times; k += 1) await lookAround(shop, job, takeOut());
      ms = (performance.now() - from) / times;
    });
    await shop.stop();
    return [
      {
        what: `the event loop’s delay (p99) while a job of ${photoCount} photos, ${(bytes / 1024 / 1024).toFixed(0)} MB, is taken out and pages asked`,
        beside: `${atMostMs} ms`,
        figures: `${held.p99Ms.toFixed(1)} ms, ${held.mostMs.toFixed(0)} ms at most; ${(ms / 1000).toFixed(1)} s a job`,
        ratio: held.p99Ms / atMostMs,
        mark: { atMost: 1 },
      },
      {
        what: 'the most that the server held meanwhile',
        beside: `${atMostMb} MB`,
        figures: `${held.mostMb.toFixed(0)} MB`,
        ratio: held.mostMb / atMostMb,
        mark: { atMost: 1 },
      },
    ];
  });
