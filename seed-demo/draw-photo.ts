import { createHash } from 'node:crypto';
import sharp from 'sharp';
import type { EntryBody } from '../src/logbook/entry.js';
import type { Ask, Step } from '../src/steps/step.js';

/** A drawn stand-in for a photo of the invented van: it shows what a picture is of, and says that it is invented. */
export interface DrawnPhoto {
  readonly jpeg: Buffer;
  readonly body: EntryBody<'photo added'>;
}

const widthPx = 480;
const heightPx = 360;

/** The picture for one photo ask of a step, with its caption. */
async function drawPhoto(step: Step, ask: Ask): Promise<DrawnPhoto> {
  const original = Buffer.from(picture(step, ask));
  const jpeg = await sharp(original).flatten({ background: '#d8d2c4' }).jpeg({ quality: 62 }).toBuffer();
  const sha = (bytes: Buffer) => createHash('sha256').update(bytes).digest('hex');
  const caption = `${step.number} ${ask.label} (invented picture)`;
  return {
    jpeg,
    body: { photo: sha(jpeg), original: sha(original), caption, widthPx, heightPx, ask: ask.id },
  };
}

/** The pictures for every photo that these steps ask for, by step and ask: `T3.front`. */
export async function drawPhotos(steps: readonly Step[]): Promise<ReadonlyMap<string, DrawnPhoto>> {
  const drawn = new Map<string, DrawnPhoto>();
  for (const step of steps)
    for (const ask of step.asks)
      if (ask.kind === 'photo') drawn.set(`${step.id}.${ask.id}`, await drawPhoto(step, ask));
  return drawn;
}

function picture(step: Step, ask: Ask): string {
  const tint = {
    sheet: '#cfc8b6',
    placement: '#c9cfcb',
    opening: '#c4c9cf',
    cable: '#cfc6bd',
    terminations: '#c8c4ba',
    order: '#c6c8be',
    dead: '#c5c5c5',
    live: '#cfcabf',
    handover: '#cbd0c6',
  }[step.stage];
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${widthPx}" height="${heightPx}">
<rect width="100%" height="100%" fill="${tint}"/>
<rect x="0" y="250" width="${widthPx}" height="110" fill="#8d8778" opacity="0.5"/>
${subject(step)}
<rect x="0" y="308" width="${widthPx}" height="52" fill="#211d18" opacity="0.82"/>
<text x="16" y="331" font-family="sans-serif" font-size="17" fill="#f4efe4">${escaped(ask.label)}</text>
<text x="16" y="350" font-family="sans-serif" font-size="12" fill="#f4efe4">Invented picture · ${escaped(step.number)}</text>
</svg>`;
}

/** A shape that says what is in view: a hole, a cable, the back of a device, a label. */
function subject(step: Step): string {
  if (step.stage === 'opening' || step.stage === 'placement')
    return '<rect x="90" y="40" width="300" height="230" rx="10" fill="#eef0ee" stroke="#555" stroke-width="3"/><circle cx="240" cy="150" r="52" fill="#3d3a36" stroke="#a2542a" stroke-width="8"/><path d="M90 240 H390" stroke="#777" stroke-dasharray="6 8"/>';
  if (step.stage === 'cable')
    return '<path d="M20 80 C140 40 160 220 260 190 S420 120 460 230" fill="none" stroke="#f1ede4" stroke-width="16"/><path d="M20 80 C140 40 160 220 260 190 S420 120 460 230" fill="none" stroke="#777" stroke-width="2"/><rect x="130" y="118" width="26" height="40" rx="4" fill="#444"/><rect x="330" y="140" width="26" height="40" rx="4" fill="#444"/>';
  if (step.stage === 'terminations' || step.stage === 'order')
    return '<rect x="150" y="30" width="180" height="240" rx="12" fill="#f5f2ea" stroke="#555" stroke-width="3"/><circle cx="172" cy="95" r="13" fill="#b8892f"/><circle cx="172" cy="195" r="13" fill="#b8892f"/><circle cx="308" cy="95" r="13" fill="#c9ccd0"/><circle cx="308" cy="195" r="13" fill="#c9ccd0"/><circle cx="240" cy="252" r="12" fill="#3c6b45"/><path d="M172 95 C90 60 90 30 60 20" stroke="#222" stroke-width="9" fill="none"/><path d="M308 95 C390 60 390 30 420 20" stroke="#f8f8f5" stroke-width="9" fill="none"/><path d="M240 252 C240 290 200 300 150 300" stroke="#3c6b45" stroke-width="9" fill="none"/>';
  return '<rect x="80" y="60" width="320" height="180" rx="8" fill="#f7f3e6" stroke="#333" stroke-width="3"/><path d="M110 105 H370 M110 140 H350 M110 175 H300" stroke="#333" stroke-width="7"/>';
}

function escaped(text: string): string {
  return text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;');
}
