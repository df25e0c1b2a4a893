import type { Told, ToVerify } from './verify-apart.js';
import { verifyPages } from './verify-pages.js';

/** The process of `verifyApart`: tells its answer without the pages as soon as it has it, and then with them. */
const tell = (told: Told) => process.send?.(told);
process.once('message', ({ file, expected }: ToVerify) => {
  void verifyPages(file, expected, (early) => tell({ seen: early, whole: !('facts' in early) })).then(
    (seen) => tell({ seen, whole: true }),
  );
});
// Whoever waited is gone.
process.once('disconnect', () => process.exit());
