import { type Circuit, words } from '../../circuit/circuit.js';
import { metresText } from '../../circuit/quantity-text.js';
import { buildLimits } from '../../trade/build-limits.js';
import {
  choice,
  type DraftStep,
  draftStep,
  lookedAgain,
  metres,
  millimetres,
  note,
  optionalNote,
  photo,
  tick,
  value,
  volts,
} from './draft-step.js';
import { livingQuarters, outletName } from './figures.js';
import { from } from './sources.js';

const clearBehind = buildLimits.behindHole;

/** Where the inlet and the outlets go, looked at from both sides before the drill turns. */
export function placementSteps(circuit: Circuit): DraftStep[] {
  return [
    inletSpot(circuit),
    walkRound(circuit),
    lookBehind(circuit),
    outletPlaces(circuit),
    vanDead(),
    templateMarked(circuit),
  ];
}

function inletFacts(circuit: Circuit): Record<string, string> {
  const { inlet } = circuit;
  return {
    'inlet side': words.side[inlet.side],
    'inlet from the rear': metresText(inlet.fromRearM),
    'inlet height': metresText(inlet.heightM),
    'inlet panel': words.panel[inlet.panel],
  };
}

function inletSpot(circuit: Circuit): DraftStep {
  const { inlet } = circuit;
  const rv = livingQuarters(circuit);
  return draftStep({
    id: 'inlet-spot',
    stage: 'placement',
    title: 'Pick the spot for the inlet',
    do: [
      `Find the spot: ${words.side[inlet.side]}, ${metresText(inlet.fromRearM)} from the rear, ${metresText(inlet.heightM)} above the ground, in ${words.panel[inlet.panel]}.`,
      'Take a replaceable trim piece rather than body metal where there is one.',
    ],
    why: 'A trim piece can be bought again; a hole in the body stays. At a camp site the pedestal stands at the left rear, and people trip over a cord that runs across.',
    rightWhen: [
      ...(rv
        ? [
            `Within ${metresText(buildLimits.inletFromRear.value)} of the rear, on the left side or left of the middle at the rear; elsewhere the reason is written down.`,
          ]
        : []),
      `No more than ${metresText(buildLimits.inletHeight.value)} above the ground.`,
      'Above what the wheels throw up.',
    ],
    sources: [...(rv ? [from.inletPlace] : []), from.inletHeight, from.practice],
    asks: [
      choice('clear-of-spray', 'Wheel spray', [
        ['clear', 'The spot is above it or shielded from it'],
        [
          'in-spray',
          'The wheels throw water on it',
          'Pick another spot: water at the inlet is found by the owner.',
        ],
      ]),
      value({
        id: 'height',
        label: 'Middle of the inlet above the ground',
        quantity: 'length',
        units: metres,
        max: buildLimits.inletHeight.value,
        expected: inlet.heightM,
        limitSource: buildLimits.inletHeight.source,
      }),
      optionalNote('why-here', 'Why here, where the rule would have it elsewhere'),
    ],
    waitsFor: ['last-word'],
    parts: ['inlet'],
    basis: { 'use of the van': words.vehicleUse[circuit.vehicleUse], ...inletFacts(circuit) },
  });
}

function walkRound(circuit: Circuit): DraftStep {
  const { locking } = circuit.inlet;
  return draftStep({
    id: 'walk-round',
    stage: 'placement',
    title: 'Walk round the van',
    do: [
      'Hold the inlet in its place. Open its cover, every door, the slider and the fuel filler.',
      'Look for exhaust, gas vents, lamps and the tow gear near it.',
      'Look up how far the van maker and local rules keep an outlet from a fuel filler and a gas vent.',
      'Hold a cord at the spot and pull it as the van would pull a forgotten one.',
    ],
    why: 'A cord that is left plugged in is pulled by the van itself. It should come straight out and tear nothing.',
    rightWhen: [
      'The cover opens fully and the cord hangs free.',
      locking
        ? 'The inlet locks: a forgotten cord will not pull out, so a tag for the steering wheel is on the list.'
        : 'A forgotten cord pulls straight out.',
      'The spot is not beside the fuel filler or a gas vent.',
    ],
    sources: [from.practice],
    asks: [
      tick('doors', 'Doors, slider and filler clear the cover and the cord'),
      tick('vents', 'Not beside fuel, exhaust or a gas vent; the distance was looked up'),
      tick('pull', locking ? 'Steering-wheel tag is on the list' : 'A forgotten cord pulls straight out'),
      photo('spot', 'The spot from three steps away'),
    ],
    waitsFor: ['inlet-spot'],
    parts: ['inlet', 'cord'],
    basis: { ...inletFacts(circuit), 'inlet locks': locking ? 'yes' : 'no' },
  });
}

function lookBehind(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'look-behind',
    stage: 'placement',
    title: 'Look behind the panel',
    do: [
      'An airbag behind this trim? Then switch the van’s own batteries off first: that step can be done now.',
      'Take the trim off.',
      'Look for harness, airbag, brace, drain, fuel and brake lines.',
      'Read the van maker’s page on where not to drill.',
      'Photograph both sides with a tape in the picture.',
    ],
    why: `A drill finds in a second what nobody looked for. The circuit says of what is behind: “${circuit.inlet.behindPanel}”.`,
    rightWhen: [
      `Nothing within ${metresText(clearBehind.value / 1000)} behind the edge of the hole, or it was moved and that is written down.`,
    ],
    sources: [clearBehind.source, from.vanMaker],
    cautions: ['drill-both-sides', 'drill-high-voltage'],
    asks: [
      choice('place', 'What the panel is part of', [
        ['free', 'A free field, away from pillars'],
        ['pillar', 'A pillar, or the way of a curtain airbag', 'Stop: pick another spot.'],
        ['orange', 'Orange cables behind it', 'Stop: follow the maker of the hybrid or electric van.'],
      ]),
      value({
        id: 'nearest',
        label: 'From the edge of the hole to the nearest thing behind it',
        quantity: 'length',
        units: millimetres,
        min: clearBehind.value / 1000,
        limitSource: clearBehind.source,
        optional: true,
      }),
      photo('outside', 'Outside, with the tape'),
      photo('inside', 'Inside, with the tape'),
      note('page', 'Page of the van maker’s guide, and what was moved'),
    ],
    waitsFor: ['inlet-spot'],
    hold: 'No drill turns until both sides were seen.',
    parts: ['inlet'],
    basis: { ...inletFacts(circuit), 'behind the panel': circuit.inlet.behindPanel },
  });
}

function outletPlaces(circuit: Circuit): DraftStep {
  const rv = livingQuarters(circuit);
  return draftStep({
    id: 'outlet-places',
    stage: 'placement',
    title: 'Places for the breaker and the outlets',
    do: [
      `Hold the breaker’s box in its place: ${circuit.breaker.place}.`,
      ...circuit.run.map((o) => `Hold the box of ${outletName(circuit, o)} in its place.`),
    ],
    why: 'A breaker behind a drawer is not thrown in time. A slot that looks up fills with water, and hot work beside a slot melts it.',
    rightWhen: [
      'The breaker can be reached with the trim on.',
      'No outlet faces up; none sits where spray, bedding or hot work reaches it.',
      ...(rv ? ['No place along a wall is more than 1.8 m (6 ft) from an outlet.'] : []),
    ],
    sources: [from.practice, ...(rv ? [from.reach] : [])],
    cautions: ['heat-near-paper'],
    asks: [
      tick('breaker', 'Breaker reachable with the trim on'),
      ...circuit.run.map((o) =>
        tick(`place-${o.id}`, `Place of ${outletName(circuit, o)} is dry, cool and not face-up`),
      ),
      ...(rv ? [tick('reach', 'No place along a wall is more than 1.8 m (6 ft) from an outlet')] : []),
      photo('places', 'The places'),
    ],
    waitsFor: ['last-word'],
    parts: ['breaker', ...circuit.run.map((o) => `outlet:${o.id}`)],
    basis: {
      'use of the van': words.vehicleUse[circuit.vehicleUse],
      'breaker place': circuit.breaker.place,
      ...Object.fromEntries(circuit.run.map((o) => [`place of outlet ${o.id}`, o.place])),
    },
  });
}

function vanDead(): DraftStep {
  const most = 1;
  return draftStep({
    id: 'van-dead',
    stage: 'placement',
    title: 'Switch the van’s own batteries off',
    do: [
      'Take rings and watch off: across a battery they glow.',
      'Take the key away.',
      'Take the negative off the 12 V battery and tie it back.',
      'Switch off the second battery and the solar charger.',
      'Wait as long as the maker gives for its airbag modules.',
      'Measure DC volts between the body and each 12 V positive near the hole.',
    ],
    why: 'A drill in a live 12 V main is a fire, and a curtain airbag in the pillar is a charge beside your face.',
    rightWhen: [`No more than ${most} V between the body and each 12 V positive near the hole.`],
    sources: [from.practice, from.carMaker],
    cautions: ['drill-van-dead', 'drill-high-voltage'],
    asks: [
      choice('kind', 'The van', [
        ['engine', 'Has an engine and no high-voltage battery'],
        ['high-voltage-done', 'Is a hybrid or electric, made dead by its maker’s procedure'],
        ['high-voltage', 'Is a hybrid or electric, procedure not at hand', 'Stop: get the procedure first.'],
      ]),
      tick('key', 'Key away; negative off and tied back'),
      tick('others', 'Second battery and solar off, or there is none'),
      tick('wait', 'Waited as the maker says'),
      value({
        id: 'volts',
        label: 'Largest reading between the body and a 12 V positive near the hole',
        quantity: 'voltage',
        units: volts,
        max: most,
        expected: 0,
        limitSource: from.practice,
        instrument: 'multimeter',
      }),
    ],
    waitsFor: ['last-word'],
    hold: 'No drill turns in a van whose batteries are on.',
    parts: ['inlet'],
  });
}

function templateMarked(circuit: Circuit): DraftStep {
  return draftStep({
    id: 'template-marked',
    stage: 'placement',
    title: 'Tape, template, centre mark',
    do: [
      'Tape the panel and draw the template and the centre on it.',
      'Have the second person check the mark from outside and from inside.',
      'Alone: photograph both sides, pause ten minutes, look again.',
    ],
    why: 'The mark is the last thing that can be rubbed out.',
    rightWhen: ['The mark agrees inside and out.'],
    sources: [from.practice, from.judged],
    cautions: ['drill-both-sides'],
    asks: [photo('mark', 'The mark, inside and outside'), lookedAgain],
    waitsFor: ['inlet-spot', 'walk-round', 'look-behind'],
    hold: 'No drill turns until the mark was looked at twice.',
    parts: ['inlet'],
    basis: inletFacts(circuit),
  });
}
