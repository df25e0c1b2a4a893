import { prepared, type Sql } from './database.js';
import type { Guard } from './write-guard.js';

/** A photo as kept: `id` is the SHA-256 of the JPEG here, `original` that of the file that was sent. */
export interface NewPhoto {
  readonly id: string;
  readonly original: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly jpeg: Buffer;
  readonly thumb: Buffer;
}
interface Photo extends NewPhoto {
  readonly at: string;
}

export interface PhotoStore {
  /** Keeps a photo; one that is kept already stays as it is. */
  put(photo: NewPhoto): void;
  get(id: string): Photo | undefined;
}

export function makePhotoStore(db: Sql, guard: Guard): PhotoStore {
  return {
    put(photo) {
      guard.write((now) =>
        db
          .prepare(
            `INSERT INTO photos (id, original, width_px, height_px, jpeg, thumb, at)
             VALUES (@id, @original, @widthPx, @heightPx, @jpeg, @thumb, @at) ON CONFLICT (id) DO NOTHING`,
          )
          .run({ ...photo, at: now }),
      );
    },
    get(id) {
      return prepared(
        db,
        `SELECT id, original, width_px AS widthPx, height_px AS heightPx, jpeg, thumb, at
         FROM photos WHERE id = ?`,
      ).get(id) as Photo | undefined;
    },
  };
}
