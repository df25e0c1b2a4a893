import { expect, test } from 'vitest';
import { unitsFirst } from '../../src/circuit/units-first.js';

test('a shop that reads feet sees feet, cubic inches and inch-pounds first', () => {
  expect(unitsFirst('12 AWG, 7.62 m (25 ft)', 'imperial')).toBe('12 AWG, 25 ft (7.62 m)');
  expect(unitsFirst('at most 344 cm³ (21 in³)', 'imperial')).toBe('at most 21 in³ (344 cm³)');
  expect(unitsFirst('Every screw at 1.6 N·m (14.2 in-lbf)', 'imperial')).toBe(
    'Every screw at 14.2 in-lbf (1.6 N·m)',
  );
  expect(unitsFirst('10 mm (0.39 in) to 12.7 mm (0.5 in)', 'imperial')).toBe(
    '0.39 in (10 mm) to 0.5 in (12.7 mm)',
  );
});

test('force, way and warmth too, and a gauge stays ahead of its copper', () => {
  expect(unitsFirst('about 45 N (10 lbf)', 'imperial')).toBe('about 10 lbf (45 N)');
  expect(unitsFirst('800 km (500 miles), air of -10 °C (14 °F)', 'imperial')).toBe(
    '500 miles (800 km), air of 14 °F (-10 °C)',
  );
  expect(unitsFirst('12 AWG (3.31 mm²)', 'imperial')).toBe('12 AWG (3.31 mm²)');
});

test('a metric shop reads the sentence as it is, and other brackets stay', () => {
  expect(unitsFirst('7.62 m (25 ft)', 'metric')).toBe('7.62 m (25 ft)');
  expect(unitsFirst('1.1 % (1.34 V of 120 V), 15 A (14 AWG)', 'imperial')).toBe(
    '1.1 % (1.34 V of 120 V), 15 A (14 AWG)',
  );
});
