import { type Circuit, words } from '../../circuit/circuit.js';
import type { SheetGroup } from '../../circuit/sheet-line.js';
import { choice, type DraftStep, draftStep, note, optionalNote, person, photo, tick } from './draft-step.js';
import { livingQuarters, otherSourceFacts, outletName } from './figures.js';
import { from } from './sources.js';
import { toolsLaidOut } from './tools-laid-out.js';

/** What is decided and computed before the first hole. */
export function sheetSteps(circuit: Circuit): DraftStep[] {
  return [
    lastWord(circuit),
    otherSources(circuit),
    computed('loads-listed', 'Loads', ['loads'], {
      do: [
        'On the page of the circuit, list what will be plugged in, outlet by outlet.',
        'Read watts or amps from the plate.',
        'Say what is on for three hours or more, what is fastened in place and what runs together.',
      ],
      why: 'The breaker, the cable and the cord are sized from this list. A heater left out of it is the heater that warms a plug.',
      rightWhen: [
        'The largest set that may run together draws no more than the breaker allows.',
        'Of the breaker’s amps: loads of three hours or more take no more than 80 %, one loose plug no more than 80 %, fastened loads no more than 50 %.',
      ],
      sources: [from.loads],
      cautions: ['heat-near-paper'],
    }),
    computed('ratings-ladder', 'Ladder of ratings', ['ladder', 'gfci', 'bond', 'fault', 'sources'], {
      do: [
        'Read the ladder from the supply to the last receptacle.',
        'Change the circuit on its page until every line of the ladder meets its limit.',
      ],
      why: 'The van’s own breaker is all that protects its wire from a bigger supply: an adapter puts 30 A behind a 15 A plug.',
      rightWhen: [
        'The breaker is in the van, no larger than the inlet, the receptacles and the cap of the thinnest wire behind it (14 AWG 15 A, 12 AWG 20 A, 10 AWG 30 A).',
        'The wire from the inlet to the breaker carries what the inlet is rated for.',
        'The ground-fault device comes first behind the breaker.',
      ],
      hold: 'Nothing is cut or drilled until the ladder stands.',
      concession: 'never',
      sources: [from.smallConductor, from.vehicleCircuit],
      cautions: ['breaker-behind', 'inlet-pins'],
    }),
    computed('cable-chosen', 'Cable', ['cable', 'method'], {
      do: [
        'Choose the cable by its type letters, gauge, insulation and strands.',
        'Name the hottest place that it passes.',
      ],
      why: 'A hot roof takes a third of what a cable carries. A flexible cord may not be closed up in a wall.',
      rightWhen: [
        'The cable is a wiring method that may be inside a wall.',
        'In the heat of that place it still carries what the breaker lets through.',
      ],
      sources: [from.ampacity, from.noCordInWalls],
    }),
    computed('cord-and-drop', 'Cord and voltage drop', ['cord', 'drop'], {
      do: [
        'Choose one cord, without a join.',
        'Plan to lay it out: a coiled cord heats.',
        'Look at the volts that the last outlet sees under its largest load.',
      ],
      why: 'The cord is the longest and thinnest part of the circuit, and the part that a person lies on wet grass.',
      rightWhen: [
        'The cord carries what the breaker lets through, and its jacket is marked for outdoors (W).',
        'Van and cord lose no more than 3 %, everything together no more than 5 %.',
      ],
      sources: [from.cordAmpacity, from.cordLength, from.dropNote, from.judged],
    }),
    computed('boxes-and-entry', 'Boxes, entry and place', ['boxes', 'entry', 'inlet'], {
      do: [
        'Compare each box with what goes into it.',
        'Compare the hole, the grommet and the supports with the cable.',
      ],
      why: 'A box that is too full presses bare ground against a silver screw. A grommet that is too large holds nothing.',
      rightWhen: [
        'Every box holds its conductors, clamps and device by volume, and the device by depth.',
        'Grommet or cord grip takes the cable; supports and bends are planned within their limits.',
      ],
      sources: [from.boxFill, from.supports, from.bend, from.grommet],
    }),
    deviceChosen(circuit),
    toolsLaidOut(),
  ];
}

type Computed = Pick<DraftStep, 'do' | 'why' | 'rightWhen' | 'sources'> & Partial<DraftStep>;

/** A step that the sheet alone answers: nothing to enter, done when its lines are met or conceded. */
function computed(id: string, title: string, sheetLines: SheetGroup[], given: Computed): DraftStep {
  return draftStep({
    id,
    stage: 'sheet',
    title,
    sheetLines,
    hold: 'Nothing is cut or drilled until these lines are met, or a named person has conceded them.',
    ...given,
  });
}

function lastWord(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'last-word',
    stage: 'sheet',
    title: 'Say what the van is and who has the last word',
    do: [
      'Say whether the van has living quarters or is a work van, and where it is registered.',
      'Ask whether a permit or a licensed person is needed.',
      'Name who will look at the work.',
    ],
    why: 'The rules differ between a van that people live in and a van that people work in, and from place to place. Someone other than this page decides.',
    rightWhen: ['The authority is named, or it was asked and there is none.'],
    sources: [from.scope],
    cautions: ['local-rules-first', 'licensed-electrician', 'no-approval'],
    asks: [
      choice('authority', `Who has the last word on this van (${words.vehicleUse[circuit.vehicleUse]})`, [
        ['named', 'An authority, named below'],
        ['asked-none', 'Asked, and there is none'],
        ['not-known', 'Not known', '“Not known” is no answer: ask first, then choose.'],
      ]),
      choice('licence', 'Who may do the work', [
        ['anyone', 'Asked: no permit and no licensed person is needed'],
        ['permit', 'A permit is needed, and it is at hand'],
        ['licensed', 'A licensed person is needed, and does the work or stands over it'],
        ['not-known', 'Not known', '“Not known” is no answer: ask first, then choose.'],
      ]),
      note('who', 'State, who was asked, who will look at the work, permit number if there is one'),
    ],
    hold: 'Nothing else is begun until someone has the last word.',
    concession: 'never',
    basis: { 'use of the van': words.vehicleUse[circuit.vehicleUse] },
  });
}

function otherSources(circuit: Circuit): DraftStep {
  const some = circuit.otherSources.length > 0;
  return draftStep({
    id: 'other-sources',
    stage: 'sheet',
    title: 'Name every other 120 V source',
    do: [
      'Look for an inverter, an inverter with charger, a generator, a second inlet.',
      'Ask whether one is planned.',
      ...(some
        ? [
            'Say how each is kept off the pins of the inlet, and see that it is so.',
            ...(circuit.otherSources.some((s) => s.kind.startsWith('inverter'))
              ? [
                  'Put no battery charger on the outlets of an inverter: it would charge the battery that feeds it.',
                ]
              : []),
          ]
        : []),
    ],
    why: 'The pins of the inlet stand on the outside of the van. A source that reaches them with the cord out puts mains where a child puts a hand.',
    rightWhen: some
      ? [
          'Each source is kept off by a transfer switch, its own relay or one plug moved by hand.',
          'Neutral and ground are joined once, at the source that feeds at that moment.',
        ]
      : ['There is no other source, and none is planned.'],
    sources: [from.otherSupply, from.oneBondSister],
    cautions: [
      'inlet-pins',
      'no-double-ended-lead',
      'one-bond',
      ...(some ? ['other-source-off' as const] : []),
    ],
    asks: [
      choice('sources', 'Other 120 V sources, now or planned', [
        some ? ['as-listed', 'Those in the circuit and no other'] : ['none', 'None, and none is planned'],
        ['another', 'One that the circuit does not list', 'Add it to the circuit first, then come back.'],
      ]),
      ...circuit.otherSources.flatMap((s, k) => [
        choice(
          `kept-off-${k + 1}`,
          `How the ${words.otherSource[s.kind]} is kept off the inlet’s pins, as seen`,
          [
            ['transfer-switch', words.keptOff['transfer-switch']],
            ['own-relay', words.keptOff['own-relay']],
            ['plug-moved-by-hand', words.keptOff['plug-moved-by-hand']],
            [
              'two-breakers',
              words.keptOff['two-breakers'],
              'Two breakers can both be on: fit something that cannot.',
            ],
            [
              'double-ended-lead',
              words.keptOff['double-ended-lead'],
              'A lead with pins at both ends is never used.',
            ],
            ['nothing', words.keptOff.nothing, 'The source must be kept off before anything is cut.'],
          ],
        ),
        photo(`plate-${k + 1}`, `Rating plate of the ${words.otherSource[s.kind]}`),
      ]),
      optionalNote('remarks', 'Remarks'),
    ],
    waitsFor: ['last-word'],
    hold: 'Nothing is cut or drilled until every other source is kept off the inlet.',
    concession: 'never',
    parts: ['inlet'],
    basis: otherSourceFacts(circuit),
  });
}

function deviceChosen(circuit: Circuit): DraftStep {
  const devices = circuit.run.filter((o) => o.device === 'gfci-receptacle');
  const oneCircuit = livingQuarters(circuit);
  const opens = devices.every((o) => o.openNeutral === 'opens');
  return draftStep({
    id: 'device-chosen',
    stage: 'sheet',
    title: 'Choose the devices and decide about a lost neutral',
    do: [
      'Hold the ground-fault device in your hand and read its marking, its date and its leaflet.',
      'Find in the leaflet what it does when the neutral is lost ahead of it. Where the leaflet is silent, take it that the device stays closed.',
      'See that the terminals of every device take these strands.',
    ],
    why: oneCircuit
      ? 'The rule as we know it asks a van with one circuit for a device that also opens when the neutral is lost. A receptacle type does not: fit one that does, or have the authority accept it.'
      : 'A receptacle type stays closed when the neutral is lost ahead of it: nothing runs, and every slot is hot and unprotected. Whoever uses the van must know.',
    rightWhen: [
      'The device tests itself (made after 29 June 2015).',
      'What it does without its neutral is known, and the decision has a name to it.',
      ...circuit.run.map(
        (o) =>
          `Terminals of ${outletName(circuit, o)}: ${words.terminals[o.terminals]}, for ${words.strands[circuit.cable.strands]} conductors.`,
      ),
    ],
    sources: [from.selfTest, from.openNeutralNote, ...(oneCircuit ? [from.openNeutral] : [])],
    cautions: ['gfci-limits'],
    asks: [
      choice('age', 'Mark of the ground-fault device', [
        ['tests-itself', 'Marked as one that tests itself'],
        ['older', 'Older, or no such mark', 'New work takes a device that tests itself.'],
      ]),
      choice('open-neutral', 'When the neutral is lost ahead of the device', [
        opens
          ? ['opens', 'It opens; its leaflet says so']
          : [
              'opens',
              'It opens; its leaflet says so',
              'The circuit says otherwise: correct the circuit first.',
            ],
        ['accepted-by-authority', 'It stays closed or is not known; who has the last word has accepted that'],
        ...(oneCircuit
          ? []
          : ([
              ['accepted-by-us', 'It stays closed or is not known; we accept that and the owner is told'],
            ] as const)),
        ['open', 'Not decided', 'This must be decided by name before anything is cut.'],
      ]),
      person('decided-by', 'Decided by'),
      photo('device-label', 'The device’s label and date'),
      tick('terminals', 'The terminals of every device take these strands'),
    ],
    waitsFor: ['last-word'],
    hold: 'Nothing is cut or drilled until the line on a lost neutral is decided by name.',
    parts: devices.map((o) => `outlet:${o.id}`),
    basis: {
      'use of the van': words.vehicleUse[circuit.vehicleUse],
      'cable strands': words.strands[circuit.cable.strands],
      ...Object.fromEntries(
        circuit.run.map((o) => [
          `device of outlet ${o.id}`,
          `${words.deviceKind[o.device]}, ${words.terminals[o.terminals]}${
            o.device === 'gfci-receptacle' ? `, ${words.openNeutral[o.openNeutral]}` : ''
          }`,
        ]),
      ),
    },
  });
}
