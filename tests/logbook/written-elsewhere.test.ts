import { expect, test } from 'vitest';
import { writtenElsewhere } from '../../src/logbook/written-elsewhere.js';

const entry = (id: string, name: string, kind: 'reading taken' | 'owner acknowledged' = 'reading taken') => ({
  kind,
  by: { id, name },
});

test('what people of another shop wrote is told by their ids, though somebody of this shop has their name', () => {
  const people = [{ id: 'b-ines', name: 'Ines Okafor' }];
  const theirs = [
    entry('a-ines', 'Ines Okafor'),
    entry('a-tam', 'Tam Whitlock'),
    entry('a-ines', 'Ines Okafor'),
  ];
  const own = entry('b-ines', 'Ines Okafor');
  expect(writtenElsewhere([...theirs, own], people)).toEqual({
    entries: 3,
    names: ['Ines Okafor', 'Tam Whitlock'],
  });
  expect(
    writtenElsewhere([own, entry('owner', 'Odile Brandt', 'owner acknowledged')], people),
  ).toBeUndefined();
});
