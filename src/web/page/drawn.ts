import type { Scene } from '../../drawing/scene.js';
import { sceneToSvg } from '../../drawing/scene-to-svg.js';

/** A drawing as a template puts it on the page. The markup is made, and every text in it escaped, by the drawing itself. */
export interface Drawn {
  readonly svg: string;
}

/** A drawing once for a wide screen and once for a phone. */
export interface DrawnTwice {
  readonly wide: Drawn;
  readonly narrow: Drawn;
}

/** A scene under ids that begin with a prefix of its own, since others stand on the same page. */
export function drawn(idPrefix: string, scene: Scene): Drawn {
  return { svg: sceneToSvg(scene, idPrefix) };
}

export function drawnTwice(idPrefix: string, sceneFor: (layout: 'wide' | 'narrow') => Scene): DrawnTwice {
  const draw = (layout: 'wide' | 'narrow') => drawn(`${idPrefix}-${layout}`, sceneFor(layout));
  return { wide: draw('wide'), narrow: draw('narrow') };
}
