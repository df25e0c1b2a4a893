import { type Circuit, words } from '../../circuit/circuit.js';
import { readingLimits } from '../../trade/reading-limits.js';
import { choice, type DraftStep, draftStep, photo, tick } from './draft-step.js';
import { groundFaultOutlet, otherSourceFacts } from './figures.js';
import { from } from './sources.js';
import { afterReady, energised } from './step-order.js';

export function otherSourceOffPins(circuit: Circuit): DraftStep {
  const names = circuit.otherSources.map((s) => words.otherSource[s.kind]).join(', ');
  return draftStep({
    id: 'other-source-off-pins',
    stage: 'live',
    title: 'No other source at the inlet’s pins',
    do: [
      'Pull the cord at the supply first, then at the inlet.',
      `Start each other source: ${names}.`,
      'Read the pins of the inlet: hot to neutral on a low-impedance range, then each pin to the body on the ordinary range.',
      'Press the source’s own TEST where it has one.',
      'A pin that is not dead: no cord goes in. Switch the source off and stop here.',
      'Only where every pin was dead: plug the shore cord in, van first, and see that the source’s own join of neutral and ground lets go.',
    ],
    why: 'Blades live on the outside of a van kill a child.',
    rightWhen: [
      `Each pin under ${readingLimits.otherSourcePins.value} V.`,
      'With shore in, neutral to ground reads as before and the supply holds.',
    ],
    sources: [from.otherSupply, from.oneBond],
    cautions: [...energised, 'inlet-pins', 'one-bond', 'generator-outdoors'],
    asks: [
      choice('lets-go', 'The source’s own join of neutral and ground, with shore in', [
        ['lets-go', 'Lets go: the supply holds and the volts are as before'],
        ['none', 'It has none'],
        ['stays', 'Stays joined', 'Neutral and ground are joined twice: unplug and mend it.'],
      ]),
      photo('source', 'The source and its switch'),
    ],
    waitsFor: afterReady(circuit, 'slot-voltages'),
    hold: 'Nobody uses the van before no other source reaches the pins.',
    concession: 'never',
    parts: ['inlet'],
    basis: otherSourceFacts(circuit),
  });
}

export function unplugged(circuit: Circuit): DraftStep {
  const others = circuit.otherSources.length > 0;
  return draftStep({
    id: 'unplugged',
    stage: 'live',
    title: 'Finish: supply out first',
    do: [
      'Loads off, then TEST, then breaker off.',
      'Pull the cord at the supply first, at the inlet last.',
      ...(others ? ['Switch the other sources off.'] : []),
      'Put the van’s 12 V back on.',
    ],
    why: 'Pulled at the van first, a live end lies in the wet grass. Tripped by TEST, the device is open for certain when the dead tests are repeated.',
    rightWhen: ['No spark; the cover of the inlet is shut.'],
    sources: [from.practice],
    cautions: ['mains-kills'],
    asks: [
      tick('order', 'Loads off, TEST, breaker off, supply out first, inlet last'),
      tick('cover', 'Cover of the inlet shut'),
      tick('twelve-volts', 'The van’s 12 V is back on, or stays off for the trim'),
    ],
    waitsFor: afterReady(
      circuit,
      'under-load',
      ...(groundFaultOutlet(circuit) ? ['test-button'] : []),
      ...(others ? ['other-source-off-pins'] : []),
    ),
    parts: ['supply', 'cord', 'inlet'],
    basis: otherSourceFacts(circuit),
  });
}
