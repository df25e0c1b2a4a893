/** Bytes of a page, or the token that stands there. */
export type PagePiece = Buffer | 'csrf' | 'key';

interface KeptPage {
  /** The newest digests of the logbooks that it was drawn from: the logbooks themselves need not stay for it. */
  readonly drawnFrom: string;
  /** The page's markup, cut at each token. */
  readonly pieces: readonly PagePiece[];
}

/** Pages of jobs that were drawn before; for one store, so that two apps in one process never share any. */
export interface KeptPages {
  /** A page that was kept; it counts as asked for last. */
  get(key: string): KeptPage | undefined;
  /** Keeps a page. The ones that nobody asked for the longest go, so that all fit; a page that would take much of the room is not kept. */
  put(key: string, page: KeptPage): void;
  keys(): readonly string[];
  /** Of all that is kept. */
  readonly bytes: number;
}

/** A small machine has so much to spare; a step's page takes some 40 KB. */
const mostBytes = 6 * 1024 * 1024;

export function makeKeptPages(): KeptPages {
  const pages = new Map<string, KeptPage>();
  let bytes = 0;
  const letGo = (key: string) => {
    bytes -= bytesOf(pages.get(key));
    pages.delete(key);
  };
  return {
    get(key) {
      const page = pages.get(key);
      if (page !== undefined) {
        pages.delete(key);
        pages.set(key, page);
      }
      return page;
    },
    put(key, page) {
      letGo(key);
      const own = bytesOf(page);
      if (own > mostBytes / 8) return;
      pages.set(key, page);
      bytes += own;
      while (bytes > mostBytes) letGo(pages.keys().next().value as string);
    },
    keys: () => [...pages.keys()],
    get bytes() {
      return bytes;
    },
  };
}

const bytesOf = (page: KeptPage | undefined) =>
  page?.pieces.reduce((sum, piece) => sum + (typeof piece === 'string' ? 0 : piece.length), 0) ?? 0;
