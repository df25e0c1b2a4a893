/** What each tone and manner looks like, on the page and in the PDF alike. Meaning never rests on colour alone. */

export const tones = {
  ink: '#26221d',
  muted: '#50483e',
  faint: '#cfc4b2',
  accent: '#1f4e79',
  hot: '#882b10',
  neutral: '#424c5a',
  ground: '#22552f',
  defect: '#981317',
  hold: '#26221d',
  focus: '#f6dd8f',
  paper: '#fffdf8',
  inside: '#f5eee1',
  brass: '#dcb65c',
  silver: '#d3d7da',
  green: '#9cc8a5',
} as const;
type Tone = keyof typeof tones;

interface Manner {
  /** Stroke width in scene units; 0 draws no stroke. */
  readonly width: number;
  readonly dash?: readonly [number, number];
  readonly round?: boolean;
  /** Fill: the tone itself, the paper, or none. */
  readonly fill: 'none' | 'tone' | 'paper';
  /** Stroke in ink whatever the tone: a filled shape with an outline. */
  readonly outlined?: boolean;
}

const manners = {
  planned: { width: 2.4, dash: [0.1, 5.4], round: true, fill: 'none' },
  landed: { width: 1.3, fill: 'none' },
  dead: { width: 3.6, fill: 'none' },
  live: { width: 3.6, fill: 'none' },
  tick: { width: 2, fill: 'none' },
  hairline: { width: 0.75, fill: 'none' },
  dashed: { width: 1, dash: [4, 3], fill: 'none' },
  line: { width: 1.5, fill: 'none' },
  heavy: { width: 4, fill: 'none' },
  filled: { width: 0, fill: 'tone' },
  outlined: { width: 1.2, fill: 'tone', outlined: true },
  boxed: { width: 1.5, fill: 'paper' },
  /** Not drawn: the area that a finger may touch. */
  touch: { width: 0, fill: 'none' },
} as const satisfies Record<string, Manner>;
type MannerName = keyof typeof manners;

/** A semantic class: a tone, and for anything but text the manner in which it is drawn. */
export type Look = Tone | `${Tone} ${MannerName}`;

export interface Appearance {
  readonly stroke: string | undefined;
  readonly fill: string | undefined;
  readonly width: number;
  readonly dash: readonly [number, number] | undefined;
  readonly round: boolean;
}

/** How a look is drawn. A bare tone on a shape is a line of ordinary weight. */
export function appearanceOf(look: Look): Appearance {
  const [tone, name = 'line'] = look.split(' ') as [Tone, MannerName?];
  const manner: Manner = manners[name];
  return {
    stroke: manner.width === 0 ? undefined : manner.outlined ? tones.ink : tones[tone],
    fill: manner.fill === 'none' ? undefined : manner.fill === 'paper' ? tones.paper : tones[tone],
    width: manner.width,
    dash: manner.dash,
    round: manner.round ?? false,
  };
}

/** The colour of text in a look. */
export function inkOf(look: Look): string {
  return tones[look.split(' ')[0] as Tone];
}
