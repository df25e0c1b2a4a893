import { type Circuit, words } from '../../circuit/circuit.js';
import { loadSets, loadSetText } from '../../circuit/load-sets.js';
import { cordText, ownerFacts } from '../../circuit/owner-facts.js';
import { unitsFirst } from '../../circuit/units-first.js';
import { vanName } from '../../logbook/van-name.js';
import type { Assessment } from '../../steps/assessment.js';
import { inOneBreath } from '../../trade/owner-sentences.js';
import { type CutOut, paragraph, type Section } from './block.js';
import type { RecordInput } from './record-input.js';
import { dayOf } from './when.js';

/** The last page: labels for the van and a card for the wallet, at their size, to cut out. */
export function cutOutSection(job: Assessment, input: RecordInput): Section {
  return {
    title: 'To cut out',
    blocks: [
      paragraph(
        'Print at full size. The wording beside the inlet is NEC 551.46(D) from memory: check it, and the size and kind of label, against your edition and local rules before it goes up.',
        'muted',
      ),
      {
        kind: 'cut-outs',
        cards: [inletLabel(job), walletCard(job, input), ...labels(job), cordTag(job, input)],
      },
    ],
  };
}

function inletLabel({ circuit: { inlet } }: Assessment): CutOut {
  return {
    title: `Shore power: 120 V, 60 Hz, ${inlet.amps} A`,
    purpose: 'Beside the inlet',
    // 3 in × 1¾ in.
    leastHeightMm: 44.5,
    lines: [
      `THIS CONNECTION IS FOR 110–125-VOLT AC, 60 HZ, ${inlet.amps} AMPERE SUPPLY. DO NOT EXCEED CIRCUIT RATING. EXCEEDING THE CIRCUIT RATING MAY CAUSE A FIRE AND RESULT IN DEATH OR SERIOUS INJURY.`,
    ],
  };
}

function labels({ circuit }: Assessment): CutOut[] {
  const { breaker, run } = circuit;
  const [first, ...behind] = run;
  const place = first?.place ?? '';
  return [
    {
      title: `Shore power breaker, ${breaker.amps} A`,
      purpose: 'At the breaker',
      leastHeightMm: 25,
      lines: [
        'Off before the cord goes in or out. It feeds every 120 V outlet of this van from the inlet.',
        ...circuit.otherSources.map(
          ({ kind }) => `It does not stop the ${words.otherSource[kind]}: off at its own disconnect.`,
        ),
      ],
    },
    {
      title: 'TEST every month',
      purpose: `At outlet 1, ${place}`,
      leastHeightMm: 25,
      lines: [
        'And before each trip: everything at every outlet must go dead. If not, use nothing and call the fitter.',
      ],
    },
    ...behind.map(
      (outlet, k): CutOut => ({
        title: `Fed through the device at ${place}`,
        purpose: `At outlet ${k + 2}, ${outlet.place}`,
        leastHeightMm: 18,
        lines: [`Dead? Look first at the device at ${place}.`],
      }),
    ),
    {
      title: 'DO NOT DRILL',
      purpose: 'Over hidden cable, as often as it is wanted',
      leastHeightMm: 18,
      lines: ['120 V cable behind this. Its way is in the photos of the record.'],
    },
    {
      title: 'CORD IN: do not drive',
      purpose: 'For the steering wheel',
      leastHeightMm: 25,
      lines: ['Stays here until the cord is in its bag.'],
    },
  ];
}

function cordTag({ circuit, log }: Assessment, { units }: RecordInput): CutOut {
  return {
    title: `Cord of ${vanName(log.described?.vehicle.description ?? 'the van')}`,
    purpose: 'On the cord',
    leastHeightMm: 25,
    lines: [
      `${unitsFirst(cordText(circuit), units)}. Laid out, not coiled; joint off wet ground; ground pin whole. Out of the supply first.`,
    ],
  };
}

function walletCard(job: Assessment, input: RecordInput): CutOut {
  const { circuit, log } = job;
  return {
    title: `${vanName(log.described?.vehicle.description ?? 'the van')}: 120 V inlet, ${circuit.inlet.amps} A`,
    purpose: 'For the wallet',
    // As a bank card.
    leastHeightMm: 54,
    small: true,
    lines: [
      `Job ${input.job}, revision ${input.revision}, ${dayOf(input.issuedAt, input.zone)}, ${input.shop}. Fitter ${log.described?.fitter ?? ''}.`,
      `Breaker ${circuit.breaker.amps} A. Cord ${unitsFirst(cordText(circuit), input.units)}. ${circuit.run.length === 1 ? '1 outlet' : `${circuit.run.length} outlets`}; ground-fault device at ${circuit.run[0]?.place ?? ''}.`,
      ...mayRun(circuit),
      'A tingle: let go, keep people off, have the plug pulled at the supply.',
      'A record of what was checked on its date. It is no approval.',
    ],
  };
}

/** As planned, where there is a plan: what it keeps apart is named as that alone. */
function mayRun(circuit: Circuit): string[] {
  if (circuit.together.length > 0) {
    const plan = ownerFacts(circuit);
    if (!inOneBreath(plan)) return ['What may run together, and what may not: page one of the record.'];
    return [
      `May run together: ${plan.mayRunTogether.join('; ')}.`,
      ...plan.mayNotRunTogether.map((line) => `Not together: ${line}.`),
    ];
  }
  const [fullest] = loadSets(circuit).largest;
  return fullest ? [`At most: ${loadSetText(circuit, fullest)}.`] : [];
}
