import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Circuit } from '../../src/circuit/circuit.js';
import { parseCircuit } from '../../src/circuit/parse-circuit.js';
import { sheetGroups } from '../../src/circuit/sheet-line.js';
import { unitFactor } from '../../src/circuit/units.js';
import { answerIssues } from '../../src/steps/answer-issues.js';
import { planOf } from '../../src/steps/plan-of.js';
import { plannedReadings } from '../../src/steps/planned-readings.js';
import { retest } from '../../src/steps/retest.js';
import { type Ask, type Step, stageIds } from '../../src/steps/step.js';
import { stepsOf } from '../../src/steps/steps-of.js';
import { cautions, standingCautions } from '../../src/trade/cautions.js';
import { sourceText } from '../../src/trade/source.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { anyCircuit, plainRun } from './random-circuit.js';

const demo = demoCircuit();
const steps = stepsOf(demo);
const step = (id: string, list: readonly Step[] = steps): Step => {
  const found = list.find((s) => s.id === id);
  if (!found) throw new Error(`no step ${id}`);
  return found;
};
const ask = (of: Step, id: string): Ask => {
  const found = of.asks.find((a) => a.id === id);
  if (!found) throw new Error(`${of.id} asks no ${id}`);
  return found;
};

/** Everything that must have been done before a step, the steps before those included. */
function stepsBefore(id: string, list: readonly Step[] = steps): Set<string> {
  const all = new Set<string>();
  const visit = (at: string) => {
    for (const earlier of step(at, list).waitsFor) {
      if (all.has(earlier)) continue;
      all.add(earlier);
      visit(earlier);
    }
  };
  visit(id);
  return all;
}

function textsOf(s: Step): string[] {
  return [
    s.title,
    s.why,
    ...s.do,
    ...s.rightWhen,
    ...(s.hold ? [s.hold] : []),
    ...(s.conditional ? [s.conditional] : []),
    ...s.sources.map(sourceText),
    ...s.asks.flatMap((a) => [
      a.label,
      ...(a.kind === 'choice' ? a.options.flatMap((o) => [o.label, o.refused ?? '']) : []),
      ...(a.kind === 'value' ? [sourceText(a.limitSource)] : []),
    ]),
  ];
}

describe('the steps of any circuit', () => {
  it('name each step once, wait only for steps that exist, and never in a circle', () => {
    fc.assert(
      fc.property(anyCircuit, (circuit) => {
        const list = stepsOf(circuit);
        const ids = list.map((s) => s.id);
        expect(new Set(ids).size).toBe(ids.length);
        expect(new Set(list.map((s) => s.number)).size).toBe(ids.length);
        for (const s of list) {
          for (const earlier of s.waitsFor) expect(ids, `${s.id} waits for`).toContain(earlier);
          expect(stepsBefore(s.id, list).has(s.id), `${s.id} waits for itself`).toBe(false);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('have ids of their own, as readings and lines of the sheet have, whatever name an outlet may have', () => {
    const idsOf = (circuit: Circuit) => {
      const plan = planOf(circuit);
      return [plan.steps, plan.readings, plan.sheet].map((all) => all.map(({ id }) => id));
    };
    const outlet = demo.run[1]!.id;
    const names = new Set(idsOf(demo).flatMap((ids) => ids.flatMap((id) => id.split('.'))));
    let taken = 0;
    for (const name of names) {
      const parsed = parseCircuit(JSON.parse(JSON.stringify(demo).replaceAll(`"${outlet}"`, `"${name}"`)));
      if (!parsed.ok) continue;
      taken += 1;
      for (const ids of idsOf(parsed.value)) expect(new Set(ids).size, name).toBe(ids.length);
    }
    expect(taken).toBeGreaterThan(20);
  });

  it('stand stage by stage, each asking what it says once, with a reason, a test and a source', () => {
    fc.assert(
      fc.property(anyCircuit, (circuit) => {
        const list = stepsOf(circuit);
        const order = list.map((s) => stageIds.indexOf(s.stage));
        expect(order).toEqual([...order].sort((a, b) => a - b));
        for (const s of list) {
          const asked = s.asks.map((a) => a.id);
          expect(new Set(asked).size, s.id).toBe(asked.length);
          expect(s.do.length * s.rightWhen.length * s.sources.length * s.why.length, s.id).toBeGreaterThan(0);
          for (const caution of s.cautions) expect(Object.keys(cautions)).toContain(caution);
        }
      }),
      { numRuns: 40 },
    );
  });

  it('give every measured value a source for its limit, units of its quantity and limits that can be met', () => {
    fc.assert(
      fc.property(anyCircuit, (circuit) => {
        for (const s of stepsOf(circuit))
          for (const a of s.asks) {
            if (a.kind !== 'value') continue;
            expect(a.limitSource.publication, `${s.id} ${a.id}`).not.toBe('');
            expect(unitFactor(a.quantity, a.units.metric)).toBeGreaterThan(0);
            expect(unitFactor(a.quantity, a.units.imperial)).toBeGreaterThan(0);
            if (a.min !== undefined && a.max !== undefined) expect(a.min).toBeLessThanOrEqual(a.max);
          }
      }),
      { numRuns: 40 },
    );
  });

  it('promise nothing: no text says safe, legal, approved, compliant or certified', () => {
    const promises = /\b(safe|safely|safety|legal|legally|approved?|approval|complian\w*|certif\w*)\b/i;
    fc.assert(
      fc.property(anyCircuit, (circuit) => {
        for (const s of stepsOf(circuit)) for (const t of textsOf(s)) expect(t).not.toMatch(promises);
      }),
      { numRuns: 40 },
    );
  });

  it('say "from memory" or who judged wherever a source is no more than remembered', () => {
    for (const s of steps)
      for (const source of s.sources)
        if (source.sure === 'C' || source.sure === 'D')
          expect(sourceText(source)).toMatch(/\((from memory|no source|wording)/);
  });
});

describe('what waits for what', () => {
  const cutting = ['pilot-hole', 'hole-cut'];
  const landing = ['land-inlet', 'breaker-box', ...demo.run.map((o) => `land.${o.id}`)];
  const deadTests = steps.filter((s) => s.stage === 'dead' && s.id !== 'cord-alone').map((s) => s.id);

  it('cuts nothing before the sheet, both sides of the panel, the batteries and the mark', () => {
    for (const id of cutting)
      for (const hold of [
        'last-word',
        'ratings-ladder',
        'boxes-and-entry',
        'device-chosen',
        'look-behind',
        'van-dead',
        'template-marked',
      ])
        expect(step(id).waitsFor, id).toContain(hold);
  });

  it('leaves no group of the sheet without a step that waits for it', () => {
    const stood = steps
      .filter((s) => step('hole-cut').waitsFor.includes(s.id))
      .flatMap((s) => s.sheetLines ?? []);
    expect([...stood].sort()).toEqual(sheetGroups.map((g) => g.id).sort());
  });

  it('lands no conductor before its cable is supported and clamped and the tools are there', () => {
    for (const id of landing)
      for (const hold of ['supports', 'strain-relief', 'tools-laid-out'])
        expect(step(id).waitsFor, id).toContain(hold);
  });

  it('beds the inlet after its terminals and its bond, and hoses it after that', () => {
    expect(step('inlet-bedded').waitsFor).toEqual(
      expect.arrayContaining(['land-inlet', 'inlet-torque', 'bond']),
    );
    expect(step('hose-test').waitsFor).toContain('inlet-bedded');
  });

  it('guards an edge before the cable is pulled through it', () => {
    expect(stepsBefore('route-pulled')).toContain('edge-guard');
  });

  it('finds the feed and reads the back before the first device is landed, and looks again after', () => {
    expect(step('land.bench').waitsFor).toEqual(
      expect.arrayContaining(['feed-found', 'breaker-first', 'line-load-read']),
    );
    expect(step('land.press').waitsFor).not.toContain('line-load-read');
    expect(step('line-load-looked-again').waitsFor).toContain('land.bench');
  });

  it('tests nothing dead before all hand work, the second look at LINE and LOAD, and the hose', () => {
    const needed = [
      'inlet-torque',
      'bond',
      'breaker-box',
      'line-load-looked-again',
      'hose-test',
      ...demo.run.map((o) => `prove-hand-work.${o.id}`),
    ];
    for (const id of deadTests)
      for (const hold of needed) expect(stepsBefore(id).has(hold), `${id} before ${hold}`).toBe(true);
  });

  it('proves the absence of voltage before every other dead test of the van', () => {
    for (const id of deadTests.filter((d) => d !== 'absence-of-voltage'))
      expect(step(id).waitsFor, id).toContain('absence-of-voltage');
  });

  it('names every dead test in every live step, the ground path among them', () => {
    const dead = steps.filter((s) => s.stage === 'dead').map((s) => s.id);
    for (const s of steps.filter((x) => x.stage === 'live'))
      for (const id of dead) expect(s.waitsFor, s.id).toContain(id);
  });

  it('measures supply, cord and skin in this order before the breaker goes on', () => {
    expect(step('cord-end-measured').waitsFor).toContain('supply-measured');
    expect(step('chassis-to-earth').waitsFor).toContain('cord-end-measured');
    expect(step('breaker-on').waitsFor).toContain('chassis-to-earth');
    expect(step('slot-voltages').waitsFor).toContain('breaker-on');
  });

  it('repeats the dead tests with the trim on before TEST is pressed with the trim on', () => {
    expect(step('trim-on-test').waitsFor).toContain('trim-on-repeat');
    expect(step('trim-on-repeat').waitsFor).toContain('run-photographed');
  });

  it('waits for no conditional step: leaving one out bars nothing', () => {
    const conditional = new Set(steps.filter((s) => s.conditional).map((s) => s.id));
    expect([...conditional].sort()).toEqual(['insulation-bare-cable', 'plug-in-tester', 'warm-check']);
    for (const s of steps) for (const id of s.waitsFor) expect(conditional.has(id), s.id).toBe(false);
  });
});

describe('the terminations', () => {
  it('have a line for every conductor at every terminal, a torque for every screw and a tug for every conductor', () => {
    fc.assert(
      fc.property(anyCircuit, (circuit) => {
        const list = stepsOf(circuit);
        circuit.run.forEach((o, k) => {
          const { asks } = step(`land.${o.id}`, list);
          const lines = asks.filter((a) => a.kind === 'tick').map((a) => a.id);
          const run = k < circuit.run.length - 1;
          const feedLines = ['feed-hot', 'feed-neutral', 'feed-ground'];
          const runLines = ['run-hot', 'run-neutral', 'run-ground'];
          expect(lines).toEqual(expect.arrayContaining(feedLines));
          for (const id of runLines) expect(lines.includes(id), `${o.id} ${id}`).toBe(run);
          expect(lines.includes('box-screw')).toBe(o.box.material === 'metal');
          const proof = step(`prove-hand-work.${o.id}`, list).asks.map((a) => a.id);
          for (const id of lines) expect(proof).toContain(`tug-${id}`);
          for (const id of ['feed-hot', 'feed-neutral', ...(run ? ['run-hot', 'run-neutral'] : [])])
            expect(proof).toContain(`torque-${id}`);
        });
      }),
      { numRuns: 40 },
    );
  });

  it('put the feed on LINE and the run on LOAD of the ground-fault device', () => {
    const labels = step('land.bench').asks.map((a) => a.label);
    expect(labels).toContain('Hot of the feed → LINE, brass screw');
    expect(labels).toContain('Neutral of the feed → LINE, silver screw');
    expect(labels).toContain('Hot of the run → LOAD, brass screw');
    expect(labels).toContain('Neutral of the run → LOAD, silver screw');
  });

  it('ask the marked torque within a tenth, and pass no figure where the device is marked with none', () => {
    expect(ask(step('prove-hand-work.bench'), 'torque-feed-hot')).toMatchObject({
      expected: 1.6,
    });
    const unmarked = step('prove-hand-work.bench', stepsOf(demoCircuit({ 'run.0.torqueNm': undefined })));
    const torque = ask(unmarked, 'torque-feed-hot');
    expect(torque).toMatchObject({ optional: true });
    expect(torque).not.toHaveProperty('min');
    expect(ask(unmarked, 'torque-origin').kind).toBe('choice');
  });

  it('take no figures of the maker for written where a screw of the device has none', () => {
    const unmarked = step('prove-hand-work.locker', stepsOf(demoCircuit({ 'run.2.torqueNm': undefined })));
    const said = { 'torque-origin': { kind: 'choice', value: 'maker-asked' } } as const;
    const figure = { kind: 'value', typed: '14', unit: 'in-lbf', si: 14 * 0.1129848290276167 } as const;
    const written = (...ids: string[]) =>
      answerIssues(
        unmarked,
        { answers: { ...said, ...Object.fromEntries(ids.map((id) => [id, figure])) } },
        '',
      )
        .filter(({ field }) => field === 'torque-origin')
        .map(({ message }) => message);
    expect(written()).toEqual([
      expect.stringMatching(
        /“The maker was asked.*” is chosen, and nothing is written at: Torque: ground pigtail.*; .*neutral of the feed/,
      ),
    ]);
    expect(written('torque-pigtail-device', 'torque-feed-hot').join()).toMatch(
      /nothing is written at: Torque: neutral of the feed/,
    );
    // The box’s own ground screw has a marking of its own, or none.
    expect(written('torque-pigtail-device', 'torque-feed-hot', 'torque-feed-neutral')).toEqual([]);
    const bond = answerIssues(step('bond'), { answers: said }, '').map(({ message }) => message);
    expect(bond.join()).toMatch(/nothing is written at: Torque: bond, crimped ring/);
  });
});

it('the inlet is tried with the cord on, and the bond carries no return of the battery', () => {
  expect(step('dry-fit').do.join()).toMatch(/Put the cord on and see whether the cover still keeps rain out/);
  expect(step('bond').do.join()).toMatch(/Put no 12 V return on it/);
});

describe('proving dead', () => {
  it('opens nothing before the proof: a wired-in surge protector comes out after it', () => {
    const acts = step('absence-of-voltage').do;
    expect(acts.findIndex((act) => /take out a surge protector/.test(act))).toBeGreaterThan(
      acts.findIndex((act) => /known source again/.test(act)),
    );
  });
});

describe('what would hurt and no meter finds', () => {
  const refusal = (of: Step, id: string, value: string) => {
    const asked = ask(of, id);
    return asked.kind === 'choice' ? asked.options.find((o) => o.value === value)?.refused : undefined;
  };

  it('is asked at the bond: a charger whose metal case has no copper of its own to the body', () => {
    expect(refusal(step('bond'), 'charger-case', 'not-bonded')).toMatch(
      /8 AWG .*copper from its case to bare body/,
    );
    expect(refusal(step('bond'), 'charger-case', 'none')).toBeUndefined();
    expect(ask(step('bond-path'), 'flange').label).toMatch(/case of a charger: under 1 Ω/);
  });

  it('is asked of the breaker, which reads alike when it is bridged or stands in the neutral', () => {
    const poles = step('poles-to-first');
    expect(refusal(poles, 'breaker-off', 'neutral')).toMatch(/leaves the van live/);
    expect(refusal(poles, 'breaker-off', 'neither')).toMatch(/Nothing in the van cuts its hot off/);
    for (const right of ['hot', 'both']) expect(refusal(poles, 'breaker-off', right)).toBeUndefined();
    expect(poles.do.join(' ')).toMatch(/Switch the breaker off .* switch it on again/);
  });

  it('is asked of LINE, which a source behind a transfer switch feeds past inlet and slots of a tripped device', () => {
    const proof = step('absence-of-voltage');
    expect(proof.do.join(' ')).toMatch(/At outlet 1 .*test at its LINE and LOAD screws too/);
    expect(proof.why).toMatch(/feeds LINE from another side/);
    const questions = plannedReadings(demo).flatMap((r) =>
      r.id.startsWith('absence-of-voltage.') ? [r.question ?? ''] : [],
    );
    expect(questions.filter((q) => q.includes('LINE and LOAD screws'))).toHaveLength(1);
    expect(questions[1]).toMatch(/test plug, then probes on its LINE and LOAD screws/);
  });

  it('is asked of the earth that the skin is read to: a lead that does not reach shows 0 V on a live one', () => {
    const skin = step('chassis-to-earth');
    expect(ask(skin, 'earth-proved')).toMatchObject({
      kind: 'value',
      min: 104,
      max: 132,
      instrument: 'multimeter',
    });
    const order = skin.do.map((line) => /hot slot to that earth|Plug the cord|read volts/.exec(line)?.[0]);
    expect(order.filter((word) => word)).toEqual(['hot slot to that earth', 'Plug the cord', 'read volts']);
    expect(skin.rightWhen[0]).toMatch(
      /Less: the earth is none, or that slot is not its hot. Plug nothing in/,
    );
  });

  it('is asked before power of every other source, where there is one', () => {
    const loads = (circuit: typeof demo) => ask(step('ready-for-live', stepsOf(circuit)), 'loads').label;
    expect(
      loads(
        demoCircuit({ otherSources: [{ kind: 'inverter', keptOff: 'transfer-switch', metalCase: true }] }),
      ),
    ).toMatch(/every other source off/);
    expect(loads(demoCircuit({ otherSources: [] }))).not.toMatch(/source/);
  });

  it('is asked of every metal box, those ahead of the first outlet too', () => {
    const boxes = (patch?: Parameters<typeof demoCircuit>[0]) =>
      step('bond-path', stepsOf(demoCircuit(patch)))
        .asks.map((a) => a.label)
        .filter((label) => label.startsWith('Metal box'));
    expect(boxes().slice(0, 2)).toEqual([
      'Metal box of the inlet: under 1 Ω',
      'Metal box of the breaker: under 1 Ω',
    ]);
    expect(boxes({ 'breaker.box.material': 'plastic', 'inlet.box': undefined }).join()).not.toMatch(
      /inlet|breaker/,
    );
  });

  it('is held nearer to every plastic box without a clamp, those ahead of the first outlet too', () => {
    const most = (patch?: Parameters<typeof demoCircuit>[0]) => {
      const supports = step('supports', stepsOf(demoCircuit(patch)));
      const asked = ask(supports, 'from-box');
      return [
        asked.kind === 'value' ? asked.max : undefined,
        /without a clamp: (.*)\)/.exec(supports.rightWhen[0]!)?.[1],
      ];
    };
    expect(most()).toEqual([0.3048, undefined]);
    for (const [box, name] of [
      ['inlet.box', 'inlet'],
      ['breaker.box', 'breaker'],
      ['run.1.box', 'outlet 2 (nipping press, rear bulkhead)'],
    ]) {
      expect(most({ [`${box}.material`]: 'plastic' })).toEqual([0.2032, name]);
      expect(most({ [`${box}.material`]: 'plastic', [`${box}.clamps`]: 'internal' })).toEqual([
        0.3048,
        undefined,
      ]);
    }
  });

  it('is said where strands end under a screw: no solder', () => {
    const solid = stepsOf(demoCircuit({ 'cable.method': 'nonmetallic-solid', 'cable.strands': 'solid' }));
    for (const id of ['land-inlet', 'breaker-box', 'land.bench', 'land.locker']) {
      expect(step(id).rightWhen.join(), id).toMatch(/stiffened with solder/);
      expect(step(id, solid).rightWhen.join(), id).not.toMatch(/solder/);
    }
  });

  it('is said wherever power comes on: a surge protector waits, and what looks dead comes alive', () => {
    expect(steps.filter((s) => s.cautions.includes('surge-delay')).map((s) => s.id)).toEqual([
      'breaker-on',
      'trim-on-test',
    ]);
    expect(cautions['surge-delay'].text).toMatch(/three minutes .* comes alive by itself/);
  });

  it('is refused as a supply to prove the van on: one whose neutral and ground are not joined', () => {
    expect(refusal(step('supply-measured'), 'kind', 'generator-floating')).toMatch(
      /another supply: .*Never join the two in the van/,
    );
  });

  it('is said of a supply’s ground: right volts are no proof of what it can carry', () => {
    expect(step('supply-measured').why).toMatch(/What its ground can carry these volts do not show/);
  });

  it('is said of an inverter alone: no charger on its outlets', () => {
    const acts = (kind: string) =>
      step(
        'other-sources',
        stepsOf(demoCircuit({ otherSources: [{ kind, keptOff: 'transfer-switch' }] })),
      ).do.join();
    expect(acts('inverter')).toMatch(/no battery charger on the outlets of an inverter/);
    expect(acts('generator')).not.toMatch(/charger on/);
  });
});

it('whoever lands or turns a screw is told first: the plug out, and work dead', () => {
  for (const s of steps.filter((x) => x.stage === 'terminations' && x.id !== 'bond'))
    expect(s.cautions, s.id).toEqual(expect.arrayContaining(['plug-out-first', 'work-dead']));
});

describe('another source', () => {
  const list = stepsOf(demoCircuit({ otherSources: [{ kind: 'generator', keptOff: 'transfer-switch' }] }));

  it('is off wherever hands are on the conductors, for the cord out does not stop it', () => {
    const handWork = list.filter((s) => s.stage === 'terminations' && s.id !== 'bond').map((s) => s.id);
    for (const id of [...handWork, 'feed-found', 'hose-test', 'absence-of-voltage', 'trim-on-repeat'])
      expect(step(id, list).cautions, id).toContain('other-source-off');
    expect(step('trim-on-repeat', list).do.join()).toMatch(
      /Cord out, every other source off at its own disconnect/,
    );
    expect(step('trim-on-repeat').do.join()).toMatch(/Cord out\. Prove it dead/);
    expect(steps.some((s) => s.cautions.includes('other-source-off'))).toBe(false);
  });

  it('is proven off the pins before the shore cord goes in beside it', () => {
    const acts = step('other-source-off-pins', list).do;
    const at = (words: RegExp) => acts.findIndex((act) => words.test(act));
    expect(at(/Read the pins/)).toBeLessThan(at(/not dead: no cord goes in/));
    expect(at(/not dead: no cord goes in/)).toBeLessThan(
      at(/Only where every pin was dead: plug the shore cord in/),
    );
  });
});

describe('what the circuit calls for', () => {
  it('has the tape of an unused LOAD back on after it was read there', () => {
    const alone = stepsOf(demoCircuit({ run: demoCircuit().run.slice(0, 1), together: [] }));
    expect(step('land.bench', alone).do.join()).toMatch(/LOAD stays under its tape/);
    expect(step('isolation-behind', alone).do[0]).toMatch(/Lift the tape on LOAD .* and put it back/);
    expect(step('isolation-behind').do.join()).not.toMatch(/tape/);
  });

  it('tags no RUN where nothing goes on from the first device', () => {
    const alone = demoCircuit({ run: [demo.run[0]!], together: [] });
    expect(step('feed-found', stepsOf(alone)).do.join()).not.toMatch(/RUN/);
    expect(step('feed-found').do.join()).toMatch(/Tag it FEED, and the other RUN/);
  });

  it('has the steps of another source only where there is one', () => {
    const inverter = { kind: 'inverter', keptOff: 'transfer-switch', metalCase: true };
    const list = stepsOf(demoCircuit({ otherSources: [inverter] }));
    expect(steps.some((s) => s.id === 'other-source-off-pins' || s.id === 'case-bond')).toBe(false);
    expect(step('other-source-off-pins', list).concession).toBe('never');
    expect(step('absence-of-voltage', list).waitsFor).toContain('case-bond');
    expect(ask(step('other-sources', list), 'kept-off-1')).toMatchObject({ kind: 'choice' });
  });

  it('says the rules of living quarters only for living quarters', () => {
    const clauses = (list: readonly Step[]) => list.flatMap((s) => s.sources.map((x) => x.clause ?? ''));
    const rv = stepsOf(demoCircuit({ vehicleUse: 'living-quarters' }));
    for (const clause of ['551.40(C)', '551.41', '551.46(E)', '551.46(D)']) {
      expect(clauses(steps).includes(clause), clause).toBe(false);
      expect(clauses(rv).includes(clause), clause).toBe(true);
    }
  });

  it('drills no pilot into an opening that is there already', () => {
    const list = stepsOf(demoCircuit({ 'entry.kind': 'existing-opening' }));
    expect(list.some((s) => s.id === 'pilot-hole')).toBe(false);
    expect(step('hole-cut', list).waitsFor).toContain('van-dead');
  });

  it('keeps the stage of the whole in view: 72 steps for three outlets, 3 of them conditional', () => {
    expect(steps.length).toBe(72);
    expect(stepsOf(plainRun(demo, 4)).length).toBe(74);
  });
});

describe('what reopens', () => {
  const reopened = (a: Circuit, b: Circuit): string[] => {
    const now = new Map(stepsOf(b).map((s) => [s.id, s]));
    return stepsOf(a)
      .filter((s) => now.has(s.id) && JSON.stringify(s.basis) !== JSON.stringify(now.get(s.id)!.basis))
      .map((s) => s.id);
  };

  it('is nothing where nothing changed, or only a note', () => {
    expect(reopened(demo, demoCircuit({ note: 'another note' }))).toEqual([]);
  });

  it('is, for whatever is landed anew, the proof that it is dead, the count of clips, the readiness for power and the repeat', () => {
    const changes = [
      { 'run.1.terminals': 'binding-screw' },
      { 'run.0.amps': 20 },
      { 'breaker.amps': 20 },
      { 'bond.awg': 6 },
    ];
    for (const patch of changes)
      expect(reopened(demo, demoCircuit(patch)), JSON.stringify(patch)).toEqual(
        expect.arrayContaining([...retest]),
      );
    // What is no wire opens none of them.
    for (const patch of [{ 'run.1.torqueNm': 2 }, { 'cord.awg': 10 }, { 'inlet.heightM': 1 }])
      expect(
        reopened(demo, demoCircuit(patch)).filter((id) => (retest as readonly string[]).includes(id)),
      ).toEqual([]);
  });

  it('is, for the gauge of feed 2, what carries that cable: its two boxes and what goes over the whole run', () => {
    const list = reopened(demo, demoCircuit({ 'run.1.feed.awg': 10 }));
    expect(list).toEqual(
      expect.arrayContaining([
        'land.bench',
        'prove-hand-work.bench',
        'land.press',
        'prove-hand-work.press',
        'supports',
      ]),
    );
    for (const id of [
      'land.locker',
      'prove-hand-work.locker',
      'land-inlet',
      'bond',
      'cord-alone',
      'hole-cut',
      'poles-to-first',
    ])
      expect(list).not.toContain(id);
  });

  it('is, for the torque of one device, its hand work alone', () => {
    expect(reopened(demo, demoCircuit({ 'run.2.torqueNm': 2 }))).toEqual(['prove-hand-work.locker']);
  });

  it('is, for another cord, the cord and what is measured through it', () => {
    expect(reopened(demo, demoCircuit({ 'cord.awg': 10 }))).toEqual([
      'cord-alone',
      'cord-end-measured',
      'under-load',
      'cord-and-spares',
    ]);
  });

  it('leaves the box of a later outlet done when its number changes and its cable does not', () => {
    const moved = {
      ...demo,
      run: [demo.run[0]!, { ...demo.run[1]!, id: 'extra' }, demo.run[1]!, demo.run[2]!],
    };
    const list = reopened(demo, moved);
    expect(list).toContain('land.press');
    expect(list).not.toContain('land.locker');
  });
});

it('a van that works on sites is told the rhythm of sites, one that is lived in is not', () => {
  const acts = (patch = {}) => step('re-check-set', stepsOf(demoCircuit(patch))).do.join();
  expect(acts()).toMatch(/its cord and its grounds every three months/);
  expect(acts({ vehicleUse: 'living-quarters' })).not.toMatch(/three months/);
});

it('every step with power carries the usual cautions, the owner’s own included', () => {
  for (const id of ['trim-on-test', 'owner-shown'])
    expect(step(id).cautions, id).toEqual(expect.arrayContaining([...standingCautions]));
});
