import { type DraftStep, draftStep, optionalNote, optionalTick, tick } from './draft-step.js';
import { from } from './sources.js';

export function toolsLaidOut(): DraftStep {
  return draftStep({
    id: 'tools-laid-out',
    stage: 'sheet',
    title: 'Lay out the tools',
    do: [
      'Lay them on one cloth and tick what lies there.',
      'Lay the small things beside them: caliper and tape, clips that are counted, tags, a paint pen, a crimp tool, a lamp, and a rod for damp soil.',
      'Write down serial numbers and dates where they are not in the list of instruments.',
    ],
    why: 'A reading is worth what its meter is worth, and a torque what its screwdriver is worth. A missing test plug is found out here and not at a live slot.',
    rightWhen: ['Each is there and named; the torque screwdriver is within its calibration date.'],
    sources: [from.torque, from.practice],
    asks: [
      tick('meter', 'Multimeter, CAT III, fused leads with shrouded tips'),
      tick('test-plug', 'Test plug: a plug with three leads that opens the shutters'),
      tick('wander-lead', 'Wander lead of 7.6 m (25 ft) or more, to be nulled'),
      tick('torque-driver', 'Torque screwdriver, in date'),
      tick('non-contact', 'Non-contact tester'),
      tick('known-source', 'A known live source to try the meter on, such as an outlet in use elsewhere'),
      tick('load', 'A resistive load of 1 to 1.5 kW'),
      tick('guards', 'Extinguisher; eye, ear and hand protection'),
      optionalTick('small-things', 'Caliper, tape, clips, tags, paint pen, crimp tool, lamp, earth rod'),
      optionalTick('low-impedance', 'Meter with a low-impedance range'),
      optionalTick('low-ohm', 'Low-ohm meter'),
      optionalTick('thermometer', 'Infrared thermometer'),
      optionalTick('plug-in-tester', 'Plug-in ground-fault tester'),
      optionalTick('insulation-tester', 'Insulation tester, 250 and 500 V'),
      optionalNote('serials', 'Serials and dates'),
    ],
    hold: 'No conductor is landed and no dead test begun without them.',
    waitsFor: ['last-word'],
  });
}
