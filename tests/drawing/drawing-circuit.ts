import { type Circuit, circuitSchema } from '../../src/circuit/circuit.js';

const places = [
  'by the sewing frame',
  'rear bench',
  'galley',
  'over the type cabinet behind the folding stool and the paper store',
  'left door',
  'nipping press',
  'skylight',
  'roof locker',
];

/** A circuit with so many outlets, the ground-fault device first; places as given. */
export function circuitWith(
  count: number,
  placeAt: (k: number) => string = (k) => places[k] ?? `shelf ${k + 1}`,
): Circuit {
  return circuitSchema.parse({
    vehicleUse: 'work-van',
    supply: { amps: 20 },
    cord: { awg: 12, lengthM: 7.6, typeLetters: 'SJTW' },
    inlet: {
      amps: 15,
      side: 'left',
      fromRearM: 0.9,
      heightM: 0.8,
      panel: 'trim-piece',
      behindPanel: 'nothing',
    },
    entry: { kind: 'cord-grip', holeMm: 28 },
    breaker: { amps: 15, place: 'behind the driver’s seat, under the long shelf' },
    bond: { awg: 8, lengthM: 1 },
    cable: {
      method: 'boat-cable',
      strands: 'stranded',
      insulationC: 90,
      outsideDiameterMm: 11,
      supportSpacingM: 0.4,
      supportFromBoxM: 0.2,
      bendRadiusMm: 60,
    },
    run: Array.from({ length: count }, (_, k) => ({
      id: `out${k + 1}`,
      place: placeAt(k),
      device: k === 0 ? 'gfci-receptacle' : 'receptacle',
      amps: 15,
      terminals: 'clamp-plate',
      feed: { awg: 12, lengthM: k === 0 ? 3 : 2 + k * 0.35 },
      box: { volumeCm3: 330, material: k % 2 === 1 ? 'metal' : 'plastic', clamps: 'internal' },
      loads: [],
    })),
  });
}

/** Strings that try to leave the markup, and strings that no page should be broken by. */
export const hostileWords = [
  '<script>alert(1)</script>',
  '"><a href="javascript:alert(1)">',
  "' onload='alert(1)",
  ']]><![CDATA[',
  '&amp; &lt;',
  '\u202Eright to left',
  'nul\u0000bell\u0007',
  '\uD800 alone',
  '終わりのない場所の名前がここに長く続く',
  'W'.repeat(80),
  '🔌'.repeat(30),
];
