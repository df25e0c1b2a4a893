import { type PublishedTable, rowWhere } from './published-table.js';
import type { Source } from './source.js';

interface ClauseRow {
  readonly clause: string;
  readonly text: string;
  readonly source: Source;
}

const row = (clause: string, sure: Source['sure'], text: string): ClauseRow => ({
  clause,
  text,
  source: { publication: 'NEC', clause, sure },
});

/** The clauses on recreational vehicles that this product leans on, each in a sentence of its own. */
const rvClauses: PublishedTable<ClauseRow> = {
  title: 'Recreational vehicles: clauses leaned on',
  unit: 'sense of the clause',
  source: {
    publication: 'NEC',
    clause: 'Article 551',
    sure: 'B',
    note: 'quoted clauses only; check your edition',
  },
  rows: [
    row(
      '551.1',
      'A',
      'The article is for vehicles that are temporary living quarters; a work van may lie outside it.',
    ),
    row(
      '551.4(A)',
      'A',
      'A recreational vehicle that nobody lives in is excused the number of circuits, and nothing else where it takes 120 V.',
    ),
    row(
      '551.20(C)',
      'A',
      'The case of a converter is bonded to the frame by its own copper conductor of 8 AWG or larger.',
    ),
    row(
      '551.30',
      'C',
      'A second source is kept off the blades of the inlet by a transfer switch or an interlock.',
    ),
    row(
      '551.40(C)',
      'C',
      'A vehicle with one circuit has a ground-fault device for all of it, which also opens when the neutral is lost or the conductors are exchanged.',
    ),
    row(
      '551.42(A)',
      'C',
      'One 15 A circuit has its own 15 A breaker, or a switch and fuse, in the vehicle; 20 A likewise.',
    ),
    row('551.46(A)', 'C', 'The inlet is wired straight to the vehicle’s overcurrent device.'),
    row(
      '551.46(B)',
      'B',
      'The cord reaches 25 ft from a side entry and 30 ft from the rear; the rear figure is from memory.',
    ),
    row(
      '551.46(D)',
      'D',
      'A label beside the entrance gives volts, hertz and amperes and warns against more.',
    ),
    row(
      '551.46(E)',
      'A',
      'The entrance is within 15 ft of the rear, at the left or left of centre at the rear.',
    ),
    row('551.47(C)', 'B', 'Plastic boxes go with nonmetallic cable or raceway only.'),
    row('551.47(E)', 'B', 'Boxes are mounted as Article 314 says.'),
    row('551.47(G)', 'C', 'Cable nearer than 1-1/4 in to a surface has a steel plate over it.'),
    row('551.47(H)', 'B', 'A cable bends at no less than five times its diameter.'),
    row('551.47(I)', 'C', 'Cable is held within 12 in of a box and every 4-1/2 ft.'),
    row('551.47(J)', 'C', 'At a plastic box without a clamp, cable is held within 8 in.'),
    row(
      '551.54(C)',
      'C',
      'Neutral is kept apart from ground, enclosures and frame; bonding screws and straps are taken out.',
    ),
    row('551.55', 'B', 'Metal boxes, raceways and frames are grounded.'),
    row('551.56(C)', 'A', 'The chassis is bonded by copper of 8 AWG or larger.'),
    row('551.60', 'C', 'Tests are made before first energising and again when the coverings are on.'),
  ],
};

/** The clause by its number, or undefined. */
export function rvClause(clause: string): ClauseRow | undefined {
  return rowWhere(rvClauses, (entry) => entry.clause === clause);
}
