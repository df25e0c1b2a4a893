// Writes seed-demo/job.json anew: the demonstration job, played through the same gate as a person's entries.
import { readFileSync, writeFileSync } from 'node:fs';
import { parseCircuit } from '../src/circuit/parse-circuit.js';
import { stepsOf } from '../src/steps/steps-of.js';
import { demoInstruments, demoPeople, demoScript } from './demo-script.js';
import { drawPhotos } from './draw-photo.js';
import { playJob } from './play-job.js';

const circuitFile = new URL('circuit.json', import.meta.url);
const parsed = parseCircuit(JSON.parse(readFileSync(circuitFile, 'utf8')));
if (!parsed.ok) throw new Error(parsed.issues.map((i) => i.message).join('; '));
const circuit = parsed.value;

const drawn = await drawPhotos(stepsOf(circuit));
const entries = playJob({
  ...demoScript(circuit),
  photo: (step, ask) => drawn.get(`${step.id}.${ask.id}`)?.body,
});
const photos = Object.fromEntries(
  [...drawn.values()].map(({ jpeg, body }) => [body.photo, jpeg.toString('base64')]),
);
const file = {
  format: 'inlet-job/1',
  people: demoPeople,
  instruments: demoInstruments,
  photos,
  records: {},
  entries,
};
writeFileSync(new URL('job.json', import.meta.url), `${JSON.stringify(file, undefined, 1)}\n`);
console.log(`seed-demo/job.json: ${entries.length} entries, ${drawn.size} pictures`);
