import type { Answer, Disturbance, Entry } from '../../logbook/entry.js';
import { answerText } from '../../record/document/shown-text.js';
import type { Plan } from '../../steps/plan-of.js';
import { shownText } from '../../steps/shown-text.js';
import type { Ask } from '../../steps/step.js';

export const disturbanceWords: Record<Disturbance['what'], string> = {
  'conductor-relanded': 'a conductor was landed again',
  'ground-fault-device-touched': 'the ground-fault device was touched or changed',
  'bond-touched': 'the bond was touched',
  'cord-changed': 'the cord was changed or mended',
  'water-or-new-hole': 'water came in, or a new hole or screw was made',
  'breaker-or-inlet-box-opened': 'the breaker’s or the inlet’s box was opened',
  'supply-only': 'nothing in the van: the supply was at fault',
  'nothing-touched': 'nothing was touched: the set-up or what was typed was wrong',
};

/** The body of an entry in words, one line a thing. `plan` gives asks and outlets their names. */
export function entryWords(entry: Entry, plan: Plan | undefined): string[] {
  switch (entry.kind) {
    case 'job described': {
      const { vehicle, owner, place, fitter, checker } = entry.body;
      const plates = [vehicle.plate && `plate ${vehicle.plate}`, vehicle.vin && `VIN ${vehicle.vin}`];
      return [
        [vehicle.description, ...plates].filter(Boolean).join(', '),
        `Owner ${owner}; at ${place}; fitter ${fitter}; ${checker ? `checker ${checker}` : 'no checker'}`,
      ];
    }
    case 'circuit set': {
      const { circuit, reason } = entry.body;
      const outlets = `${circuit.run.length} ${circuit.run.length === 1 ? 'outlet' : 'outlets'}`;
      const line = `Inlet ${circuit.inlet.amps} A, breaker ${circuit.breaker.amps} A, ${outlets}`;
      return reason ? [line, `Because: ${reason}`] : [line];
    }
    case 'step done':
      return Object.entries(entry.body.answers).map(([id, answer]) =>
        answerLine(askOf(plan, entry.subject, id), id, answer),
      );
    case 'step reopened':
    case 'job set aside':
    case 'job taken up':
    case 'job closed':
    case 'concession granted':
      return [`Because: ${entry.body.reason}`];
    case 'reading taken': {
      const { shown, instrument, note } = entry.body;
      const by = instrument ? ` by ${instrument.name}, serial ${instrument.serial}` : '';
      return [`Shown ${shownText(shown)}${by}`, ...(note ? [note] : [])];
    }
    case 'reading struck':
      return [`Strikes the reading of entry ${entry.body.reading}: ${entry.body.reason}`];
    case 'photo added':
      return [entry.body.caption || 'A photo', `SHA-256 ${entry.body.photo.slice(0, 16)}…`];
    case 'defect raised':
      return [entry.body.what, ...entry.body.suspects.slice(0, 3).map((s) => `Suspect: ${s.text}`)];
    case 'defect reworked':
      return [
        `Defect of entry ${entry.body.defect}. Found: ${entry.body.found}`,
        `Done: ${entry.body.done}`,
        `Disturbed: ${entry.body.disturbs.map((d) => disturbanceWords[d.what]).join('; ')}`,
      ];
    case 'second look signed':
      return [entry.body.statement, `Signed ${entry.body.signature.name}`];
    case 'record issued':
      return [
        `Revision ${entry.body.revision}, signed ${entry.body.signature.name}`,
        ...(entry.body.reason ? [`Because: ${entry.body.reason}`] : []),
        `SHA-256 ${entry.body.sha256}`,
      ];
    case 'instrument questioned': {
      const { instrument, from, reason, entries } = entry.body;
      return [
        `${instrument.name}, serial ${instrument.serial}, no longer proves from ${from} on: ${reason}`,
        `It gave what entries ${entries.join(', ')} say`,
      ];
    }
    case 'record withdrawn':
      return [`Revision ${entry.body.revision}: ${entry.body.reason}`];
    case 'owner acknowledged':
      return [`Revision ${entry.body.revision}, acknowledged by ${entry.body.signature.name}`];
  }
}

function askOf(plan: Plan | undefined, subject: string, id: string): Ask | undefined {
  return plan?.steps.find((s) => `step:${s.id}` === subject)?.asks.find((a) => a.id === id);
}

function answerLine(ask: Ask | undefined, id: string, answer: Answer): string {
  const label = ask?.label ?? id;
  return answer.kind === 'tick' ? label : `${label}: ${givenText(ask, answer)}`;
}

/** An answer as the page offered it, in the record's own words; a tick is a yes there. */
export function givenText(ask: Ask | undefined, answer: Answer): string {
  return answer.kind === 'tick' ? 'yes' : answerText(ask, answer);
}
