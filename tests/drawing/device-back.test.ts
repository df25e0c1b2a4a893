import { describe, expect, test } from 'vitest';
import { deviceBack, hasBack } from '../../src/drawing/device-back.js';
import { looksOfFault } from '../../src/drawing/looks-of-fault.js';
import { type Place, placesOf } from '../../src/drawing/place.js';
import { shapesOf } from '../../src/drawing/scene.js';
import { catalogue } from '../../src/faults/catalogue.js';
import { electricalCircuit } from '../../src/meter/electrical-circuit.js';
import {
  bondLandings,
  breakerLandings,
  inletLandings,
  outletLandings,
} from '../../src/steps/content/landings.js';
import { circuitWith } from './drawing-circuit.js';
import { crowdedTexts, textsOf } from './scene-checks.js';

const circuit = circuitWith(3);
const rings = (place: Place, landings: string[]) =>
  shapesOf(deviceBack({ circuit, place, mark: { landings, word: 'look under the clamp' } })).filter(
    (s) => s.look === 'focus heavy',
  ).length;

/** Every landing that the steps ask for, by the place whose back shows it. */
function landingsByPlace(): [Place, string[]][] {
  const ids = (list: { id: string }[]) => list.map((l) => l.id);
  return [
    ['inlet', [...ids(inletLandings()), ...ids(bondLandings()).filter((id) => id === 'inlet-end')]],
    ['breaker', ids(breakerLandings(circuit))],
    ...circuit.run.map((o): [Place, string[]] => [`outlet:${o.id}`, ids(outletLandings(circuit, o))]),
  ];
}

describe('the back of a device', () => {
  test.each(landingsByPlace())(
    'shows every conductor that the steps land at %s, each by itself',
    (place, landings) => {
      expect(landings.length).toBeGreaterThan(2);
      for (const landing of landings) expect([landing, rings(place, [landing])]).toEqual([landing, 1]);
    },
  );

  test.each(landingsByPlace())(
    'says in words each conductor at %s, and which to look at',
    (place, landings) => {
      const { description } = deviceBack({
        circuit,
        place,
        mark: { landings: [landings[0]!], word: 'loose' },
      });
      const plain = deviceBack({ circuit, place }).description;
      expect(plain.split('. ').length).toBeGreaterThanOrEqual(landings.length);
      expect(description).toMatch(/Look at .+: loose\./);
      expect(plain).not.toContain('Look at');
    },
  );

  test('puts the feed on LINE and the run on LOAD of a ground-fault device alone', () => {
    const words = (place: Place) => textsOf(deviceBack({ circuit, place })).map((t) => t.text);
    expect(words('outlet:out1')).toEqual(expect.arrayContaining(['LINE', 'LOAD']));
    expect(words('outlet:out2')).not.toContain('LINE');
  });

  test('tells brass, silver and green in words, and claims no maker’s layout', () => {
    for (const place of placesOf(circuit).filter(hasBack)) {
      const scene = deviceBack({ circuit, place });
      expect(scene.description).toContain('read your device’s own marking');
      expect(crowdedTexts(scene)).toEqual([]);
    }
    const words = textsOf(deviceBack({ circuit, place: 'outlet:out1' })).map((t) => t.text);
    expect(words).toEqual(expect.arrayContaining(['brass', 'silver', 'green', 'H', 'N', 'G']));
  });

  test('is drawn for the inlet, the breaker and the outlets and for nothing else', () => {
    expect(placesOf(circuit).filter(hasBack)).toEqual([
      'inlet',
      'breaker',
      'outlet:out1',
      'outlet:out2',
      'outlet:out3',
    ]);
    expect(() => deviceBack({ circuit, place: 'outlet:gone' })).toThrow(RangeError);
  });
});

describe('the backs that a fault leads to', () => {
  test('begin where the conductor leaves and go on where it arrives', () => {
    expect(looksOfFault(circuit, { fault: 'open', conductor: 'ground', where: 'feed2' })).toEqual([
      { place: 'outlet:out1', landings: ['run-ground'] },
      { place: 'outlet:out2', landings: ['feed-ground'] },
    ]);
  });

  test('begin at the breaker for the first feed', () => {
    const [first] = looksOfFault(circuit, {
      fault: 'high-resistance',
      conductor: 'hot',
      where: 'feed1',
      ohms: 1,
    });
    expect(first).toEqual({ place: 'breaker', landings: ['in-hot', 'out-hot'] });
  });

  test('are none outside the van or beyond the last outlet', () => {
    expect(looksOfFault(circuit, { fault: 'bootleg-reversed', where: 'supply' })).toEqual([]);
    expect(looksOfFault(circuit, { fault: 'open', conductor: 'hot', where: 'cord' })).toEqual([]);
    expect(looksOfFault(circuit, { fault: 'open', conductor: 'hot', where: 'feed7' })).toEqual([]);
  });

  test.each(
    catalogue(electricalCircuit(circuit))
      .map(({ fault }) => fault)
      .filter(({ where }) => where !== 'supply' && where !== 'cord'),
  )('point at ends that the picture has: $fault at $where', (fault) => {
    const looks = looksOfFault(circuit, fault);
    expect(looks.length).toBeGreaterThan(0);
    for (const { place, landings } of looks)
      for (const landing of landings)
        expect({ landing, rings: rings(place, [landing]) }).toMatchObject({ rings: 1 });
  });
});
