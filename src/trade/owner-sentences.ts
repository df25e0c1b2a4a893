/** The figures of one circuit that the owner's page needs, ready to read. */
export interface OwnerFacts {
  /** Each line names a set of loads that may be on together. */
  readonly mayRunTogether: readonly string[];
  /** Each line names what may not. */
  readonly mayNotRunTogether: readonly string[];
  /** The cord, for instance "12 AWG, 7.6 m (25 ft), SJTW". */
  readonly cord: string;
  readonly breakerAmps: number;
  /** Where the ground-fault device is. */
  readonly devicePlace: string;
}

/** Of more letters than these nobody reads a plan in one sentence, nor has it on a card: about ten lines. A judgement. */
const mostInOneBreath = 900;

/** Whether what may run together, and what may not, can be said in a sentence; its list says it wherever it stands. */
export function inOneBreath(facts: Pick<OwnerFacts, 'mayRunTogether' | 'mayNotRunTogether'>): boolean {
  return [...facts.mayRunTogether, ...facts.mayNotRunTogether].join('; ').length <= mostInOneBreath;
}

/** The ten sentences of the owner's page by what they are about, in order. */
export function ownerAdvice(facts: OwnerFacts) {
  const not = facts.mayNotRunTogether.join('; ') || 'anything beyond these sets';
  const plan = inOneBreath(facts)
    ? `What may run together: ${facts.mayRunTogether.join('; ')}. What may not: ${not}.`
    : 'What may run together, and what may not, is said set by set in the list of that name. Have on what one line of it allows, and nothing beyond it.';
  const together =
    facts.mayRunTogether.length > 0
      ? plan
      : `No load was named when this was made: the ${facts.breakerAmps} A breaker is the only measure. Add up the amps on the plates before you plug in a second thing.`;
  return {
    beforePluggingIn:
      'Before plugging in anywhere new, look at the outlet and use your tester. Cracked, scorched, wrong by the tester, or 240 V: do not plug in. The van cannot make a bad outlet good.',
    plugging:
      'To plug in: loads off, breaker off, cord into the van first and the supply last, then the breaker on. To leave: loads off, supply out first, then the van. Hang the tag on the steering wheel until the cord is in its bag.',
    tingle:
      'If you ever feel a tingle from the van, let go, keep people off and do not touch it again. Have the plug pulled or the breaker thrown at the supply, and have the cause found before the next use.',
    monthly: `Press TEST on the device at ${facts.devicePlace} every month and before each trip: everything at every outlet must go dead. If one stays alive, or it will not reset, use nothing and call the fitter.`,
    tripped:
      'When it trips: unplug everything and reset once. If it holds, plug in one thing at a time. If it does not, or nothing works though a tester shows a little light, unplug at the supply. If all is dead, look first at the supply’s own button.',
    together: `${together} Anything with heat goes straight into an outlet, on no strip; it stays away from paper, bedding and solvent, and is off when you leave or sleep.`,
    cord: `Use only the cord that belongs to the van: ${facts.cord}. Lay it out, not coiled, with its joint off wet ground and its ground pin whole. An adapter to a larger outlet feeds more than the van’s own ${facts.breakerAmps} A breaker was made for; leave it out.`,
    neverDo:
      'Never use a lead with pins at both ends. Never plug the van into its own inverter. Run a generator only outdoors, 6 m (20 ft) or more from any door, and know how its neutral is arranged.',
    damage:
      'Unplug at the supply if water comes in, if a plug is warm, brown or smells, or if a cover cracks. Do so too if a screw goes through a wall, or the van is hit or drilled. Have it tested before it is used again.',
    lookAgain:
      'Have screws, cord, seal and readings looked at after the first 800 km (500 miles) or month, then yearly and after winter. Lay the cord up dry and the cover shut; corroded blades are replaced, not sanded. The record says what was checked on its date. It is no approval, and the rules where you park come first.',
  };
}

/** The ten sentences of the owner's page, in order. */
export function ownerSentences(facts: OwnerFacts): string[] {
  return Object.values(ownerAdvice(facts));
}

/** What the device does not do for whoever uses the van: stands under the ten sentences, wherever they are read. */
export const notGuarded =
  'The ground-fault device does not guard you between hot and neutral, nor against a ground wire that comes live from the supply, nor when the neutral is lost.';
