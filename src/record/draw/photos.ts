import type { Buffer } from 'node:buffer';
import { tones } from '../../drawing/appearance.js';
import { AppError } from '../../errors.js';
import type { PhotoBlock } from '../document/block.js';
import { manners } from './face.js';
import type { Paper } from './paper.js';

/** The bytes of a photo (baseline JPEG, upright, no metadata), by its id. */
export type PhotoBytes = (id: string) => Buffer | undefined;

const gap = 14;
/** Of one size all through a record, so that pages with few photos and with many look alike. */
const across = 3;

/** Photos, three a row, each with its caption under it. */
export function drawPhotos(paper: Paper, photos: readonly PhotoBlock[], bytesOf: PhotoBytes): void {
  const width = (paper.fullWidth - gap * (across - 1)) / across;
  const frame = width * 0.72;
  for (let k = 0; k < photos.length; k += across) {
    const row = photos.slice(k, k + across).map((photo) => ({
      photo,
      caption: paper.linesOf(photo.caption, manners.cellStrong, width),
      note: paper.linesOf(photo.note, manners.cellMuted, width),
    }));
    const text = Math.max(
      ...row.map(
        (r) => r.caption.length * manners.cellStrong.leading + r.note.length * manners.cellMuted.leading,
      ),
    );
    paper.ensure(frame + text + 18);
    row.forEach((r, column) => {
      const x = paper.left + column * (width + gap);
      drawPhoto(paper, r.photo, bytesOf, { x, y: paper.y, width, height: frame });
      const y = paper.y + frame + 5;
      paper.marked('P', () => {
        paper.set(r.caption, manners.cellStrong, x, y);
        paper.set(r.note, manners.cellMuted, x, y + r.caption.length * manners.cellStrong.leading);
      });
    });
    paper.y += frame + text + 18;
  }
}

function drawPhoto(
  paper: Paper,
  photo: PhotoBlock,
  bytesOf: PhotoBytes,
  box: { x: number; y: number; width: number; height: number },
): void {
  const bytes = bytesOf(photo.id);
  if (bytes === undefined || bytes[0] !== 0xff || bytes[1] !== 0xd8)
    throw new AppError(
      'bad-file',
      `The photo “${photo.caption}” is missing or no picture; the record was not made.`,
    );
  const { doc } = paper;
  paper.artifact(() => doc.rect(box.x, box.y, box.width, box.height).fillColor(tones.inside).fill());
  const bbox: [number, number, number, number] = [box.x, box.y, box.x + box.width, box.y + box.height];
  paper.marked(
    'Figure',
    () => {
      doc.image(bytes, box.x, box.y, { fit: [box.width, box.height], align: 'center', valign: 'center' });
    },
    { alt: `Photo: ${photo.caption}`, bbox },
  );
}
