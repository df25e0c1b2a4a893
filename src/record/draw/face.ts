import { fileURLToPath } from 'node:url';
import { tones } from '../../drawing/appearance.js';

/** The weights that a record is set in; names under which they are registered. */
export const weights = { regular: '400Regular', medium: '600SemiBold', bold: '700Bold' } as const;
export type FaceWeight = keyof typeof weights;

/** The file of a weight. Paths, not bytes: the layout of a face that comes as a path is kept. */
export function faceFile(weight: FaceWeight): string {
  const name = weights[weight];
  return fileURLToPath(
    import.meta.resolve(`@expo-google-fonts/source-sans-3/${name}/SourceSans3_${name}.ttf`),
  );
}

export interface Manner {
  readonly weight: FaceWeight;
  /** pt */
  readonly size: number;
  /** From baseline to baseline, pt. */
  readonly leading: number;
  readonly ink: string;
}

const { ink, muted, accent } = tones;
export const manners = {
  title: { weight: 'bold', size: 25, leading: 29, ink },
  kicker: { weight: 'medium', size: 10, leading: 13, ink: accent },
  section: { weight: 'bold', size: 16, leading: 20, ink },
  heading: { weight: 'medium', size: 11, leading: 14, ink: accent },
  group: { weight: 'medium', size: 9.5, leading: 12, ink: accent },
  lead: { weight: 'regular', size: 11, leading: 15, ink },
  body: { weight: 'regular', size: 9.5, leading: 12.6, ink },
  muted: { weight: 'regular', size: 9, leading: 12, ink: muted },
  label: { weight: 'regular', size: 8.5, leading: 12, ink: muted },
  cell: { weight: 'regular', size: 8.5, leading: 10.8, ink },
  cellStrong: { weight: 'medium', size: 8.5, leading: 10.8, ink },
  cellMuted: { weight: 'regular', size: 8, leading: 10.2, ink: muted },
  head: { weight: 'medium', size: 8, leading: 10, ink: muted },
  footer: { weight: 'regular', size: 8, leading: 10, ink: muted },
} as const satisfies Record<string, Manner>;
