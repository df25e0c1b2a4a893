import { describe, expect, it } from 'vitest';
import { parseReadingsFile } from '../../src/meter/readings-file.js';
import { handheld, van } from './vans.js';

const parse = (readings: unknown[], more: object = {}) =>
  parseReadingsFile(
    JSON.stringify({ format: 'inlet-readings/1', circuit: van(2), meter: handheld, readings, ...more }),
  );
const sound = { test: 'resistance', from: 'inlet.ground', to: 'outlet2.ground', ohms: 0.1 };

describe('a readings file', () => {
  it('is read with every kind of reading', () => {
    const parsed = parse([
      sound,
      { test: 'resistance', from: 'inlet.hot', to: 'inlet.ground', ohms: null },
      { test: 'voltage', from: 'chassis', to: 'earth', volts: 0 },
      { test: 'voltage', from: 'outlet2.hot', to: 'outlet2.neutral', volts: 119.8 },
      { test: 'loaded-voltage', from: 'outlet2.hot', to: 'outlet2.neutral', amps: 8, volts: 116.4 },
      { test: 'observation', what: 'supply-holds', answer: true },
      { test: 'observation', what: 'dead-when-tripped', at: 'outlet2', answer: true },
      { test: 'observation', what: 'holds-under-load', at: 'outlet2', amps: 8, answer: true },
      {
        test: 'observation',
        what: 'three-lamp',
        at: 'outlet1',
        lamps: { hotNeutral: true, hotGround: true, neutralGround: false },
      },
    ]);
    expect(parsed).toMatchObject({ ok: true });
  });

  it.each([
    ['a point that the circuit lacks', { ...sound, to: 'outlet3.ground' }, 'readings.1.to', /lacks/],
    ['LOAD screws of a plain receptacle', { ...sound, to: 'outlet2.load.hot' }, 'readings.1.to', /lacks/],
    ['a ground screw beside the slot', { ...sound, to: 'outlet1.line.ground' }, 'readings.1.to', /lacks/],
    ['a negative value', { ...sound, ohms: -1 }, 'readings.1.ohms', /negative/],
    ['a value that is no number', { ...sound, ohms: 'OL' }, 'readings.1.ohms', /number/],
    ['a missing value', { test: 'voltage', from: 'chassis', to: 'earth' }, 'readings.1.volts', /./],
    ['an unknown test', { ...sound, test: 'impedance' }, 'readings.1', /unknown test: "impedance"/],
    [
      'an unknown observation',
      { test: 'observation', what: 'hums', answer: true },
      'readings.1',
      /unknown observation/,
    ],
    [
      'an outlet that is not there',
      { test: 'observation', what: 'dead-when-tripped', at: 'outlet9', answer: true },
      'readings.1.at',
      /lacks/,
    ],
    [
      'volts at a blade that is in the supply',
      { test: 'voltage', from: 'plug.hot', to: 'earth', volts: 1 },
      'readings.1.from',
      /cord is in/,
    ],
    [
      'a load at a blade that is in the supply',
      { test: 'loaded-voltage', from: 'outlet1.hot', to: 'plug.neutral', amps: 8, volts: 118 },
      'readings.1.to',
      /cord is in/,
    ],
    [
      'a load that is plugged into no outlet',
      { test: 'loaded-voltage', from: 'inlet.hot', to: 'inlet.neutral', amps: 8, volts: 118 },
      'readings.1.from',
      /slot of the outlet/,
    ],
    [
      'a slot where an outlet is asked for',
      { test: 'observation', what: 'dead-when-tripped', at: 'outlet2.hot', answer: true },
      'readings.1.at',
      /lacks/,
    ],
    ['one point twice', { ...sound, to: 'inlet.ground' }, 'readings.1.to', /same point/],
  ])('is refused for %s, with the reading’s index and the reason', (_, reading, field, reason) => {
    const parsed = parse([sound, reading]);
    expect(parsed.ok).toBe(false);
    if (parsed.ok) return;
    expect(parsed.issues[0]!.field).toBe(field);
    expect(parsed.issues[0]!.message).toMatch(reason);
  });

  it('is refused for a value too large for a number', () => {
    const text = JSON.stringify({
      format: 'inlet-readings/1',
      circuit: van(1),
      meter: handheld,
      readings: [],
    });
    const parsed = parseReadingsFile(
      text.replace(
        '"readings":[]',
        '"readings":[{"test":"resistance","from":"inlet.hot","to":"chassis","ohms":1e999}]',
      ),
    );
    expect(parsed).toMatchObject({ ok: false, issues: [{ field: 'readings.0.ohms' }] });
  });

  it('is refused when it is not JSON, of another format, or without its circuit', () => {
    expect(parseReadingsFile('{').ok).toBe(false);
    expect(parse([], { format: 'inlet-readings/2' })).toMatchObject({
      ok: false,
      issues: [{ field: 'format' }],
    });
    expect(parse([], { circuit: undefined })).toMatchObject({ ok: false });
    expect(parse([], { circuit: { ...van(1), run: [] } })).toMatchObject({
      ok: false,
      issues: [{ field: 'circuit.run' }],
    });
  });
});
