import type { Role } from '../logbook/shop-entry.js';

/** Who may open an address: anyone, anyone with a session, or who holds a role. */
type Access = 'open' | 'person' | Role;

/** Every address in the order of the work. One that is not here cannot be registered; register-pages.ts registers them. */
export const addresses: readonly (readonly [method: string, url: string, access: Access, what: string])[] = [
  ['GET', '/health', 'open', 'whether the server runs and may write'],
  ['GET', '/version', 'open', 'the name and version of this program, and of its rules'],
  ['GET', '/schemas/:schema', 'open', 'the JSON Schema of a file format'],
  ['GET', '/assets/*', 'open', 'the stylesheet, the scripts, the face'],

  ['GET', '/set-up', 'open', 'first start: the shop, its first person, its key'],
  ['POST', '/set-up', 'open', 'makes them'],
  ['GET', '/sign-in', 'open', 'sign in'],
  ['POST', '/sign-in', 'open', 'opens a session'],
  ['POST', '/sign-out', 'person', 'ends it'],
  ['POST', '/again', 'person', 'what was typed in a form that was not taken, back in that form'],
  ['GET', '/form-token', 'person', 'a fresh token for forms that waited on a phone'],

  ['GET', '/account', 'person', 'own passphrase and sessions'],
  ['POST', '/account/passphrase', 'person', 'changes it'],
  ['POST', '/account/sessions/end', 'person', 'ends one of them, or all others'],
  ['POST', '/account/notices', 'person', 'says that what was told is read'],

  ['GET', '/people', 'keeper', 'who is in the shop'],
  ['POST', '/people', 'keeper', 'adds a person'],
  ['GET', '/people/:person', 'keeper', 'one person'],
  ['POST', '/people/:person', 'keeper', 'changes name, roles or standing'],
  ['POST', '/people/:person/passphrase', 'keeper', 'gives a passphrase for one sign-in'],
  ['POST', '/people/:person/sessions/end', 'keeper', 'ends all of their sessions'],
  ['GET', '/instruments', 'person', 'what is measured with'],
  ['POST', '/instruments', 'keeper', 'adds an instrument'],
  ['GET', '/instruments/:instrument', 'keeper', 'one instrument'],
  ['POST', '/instruments/:instrument', 'keeper', 'changes or retires it'],
  ['POST', '/instruments/:instrument/finding', 'keeper', 'says from which day on it did not tell the truth'],
  ['GET', '/shop', 'keeper', 'name, place, units, signing key'],
  ['POST', '/shop', 'keeper', 'changes name, place or units'],
  ['POST', '/shop/key', 'keeper', 'makes a new signing key'],
  ['POST', '/shop/backup', 'keeper', 'makes a backup now, where backups are planned'],
  ['POST', '/shop/check', 'keeper', 'looks through the whole store now'],

  ['GET', '/', 'person', 'the list of jobs, searched'],
  ['GET', '/jobs/new', 'person', 'a new job'],
  ['POST', '/jobs', 'person', 'opens it'],
  ['GET', '/jobs/:job', 'person', 'the job: its drawing, what is next, its stages'],
  ['GET', '/jobs/:job/parts/:part', 'person', 'one part of the circuit with its steps and readings'],
  ['GET', '/jobs/:job/description', 'person', 'the van, its owner, the place'],
  ['POST', '/jobs/:job/description', 'person', 'changes them'],
  ['GET', '/jobs/:job/circuit', 'person', 'what is to be built'],
  ['POST', '/jobs/:job/circuit', 'person', 'sets it, or adds and moves a part of the form'],
  ['GET', '/jobs/:job/changes/:entry', 'person', 'what a change or a mend opens again'],
  ['GET', '/jobs/:job/sheet', 'person', 'what is computed before cutting'],
  ['POST', '/jobs/:job/sheet/:line/concession', 'person', 'lets a line stand, with a reason'],
  ['GET', '/jobs/:job/steps/:step', 'person', 'one step'],
  ['POST', '/jobs/:job/steps/:step', 'person', 'writes down what it asks'],
  ['POST', '/jobs/:job/steps/:step/photos', 'person', 'adds a photo'],
  ['POST', '/jobs/:job/steps/:step/reopening', 'person', 'opens it again'],
  ['POST', '/jobs/:job/steps/:step/concession', 'person', 'lets it stand, with a reason'],
  ['GET', '/jobs/:job/readings', 'person', 'every reading'],
  ['GET', '/jobs/:job/readings.csv', 'person', 'the same as a table for a spreadsheet'],
  ['GET', '/jobs/:job/readings/:reading', 'person', 'one reading'],
  ['POST', '/jobs/:job/readings/:reading', 'person', 'writes down what was shown'],
  ['POST', '/jobs/:job/readings/:reading/strike', 'person', 'strikes a slip'],
  ['POST', '/jobs/:job/readings/:reading/concession', 'person', 'lets an unproven one stand'],
  ['GET', '/jobs/:job/defects', 'person', 'what was found wrong'],
  ['POST', '/jobs/:job/defects', 'person', 'raises a defect by hand'],
  ['GET', '/jobs/:job/defects/:entry', 'person', 'one defect'],
  ['POST', '/jobs/:job/defects/:entry/rework', 'person', 'writes down its mend'],
  ['GET', '/jobs/:job/logbook', 'person', 'every entry'],
  ['GET', '/jobs/:job/second-look', 'person', 'the second look'],
  ['POST', '/jobs/:job/second-look', 'person', 'signs it'],
  ['GET', '/jobs/:job/record', 'person', 'what bars the record, and its revisions'],
  ['POST', '/jobs/:job/record', 'person', 'issues the next revision'],
  ['GET', '/jobs/:job/record/:revision', 'person', 'a revision as a PDF'],
  ['POST', '/jobs/:job/record/:revision/withdrawal', 'person', 'withdraws it'],
  ['POST', '/jobs/:job/link', 'person', 'makes an owner’s link'],
  ['POST', '/jobs/:job/link/withdrawal', 'person', 'withdraws it'],
  ['GET', '/jobs/:job/export', 'person', 'the job as a file'],
  ['POST', '/jobs/:job/rest', 'person', 'sets the job aside'],
  ['POST', '/jobs/:job/closure', 'person', 'closes it'],
  ['POST', '/jobs/:job/resumption', 'person', 'takes it up again'],

  ['GET', '/o/:token', 'open', 'the owner’s page'],
  ['GET', '/o/:token/record', 'open', 'the record behind it'],
  ['POST', '/o/:token/acknowledgement', 'open', 'the owner’s acknowledgement'],
  ['GET', '/glossary', 'open', 'the words of the trade in plain ones; nothing of the shop'],
  ['GET', '/verify', 'open', 'check a record'],
  ['POST', '/verify', 'open', 'answers for one file'],
  ['GET', '/readings-without-a-job', 'person', 'a circuit and a few readings'],
  ['POST', '/readings-without-a-job', 'person', 'answers, keeping nothing'],
  ['GET', '/sketch', 'person', 'a circuit of few fields to try, keeping nothing'],
  ['GET', '/photos/:photo', 'person', 'a photo'],
  ['GET', '/photos/:photo/small', 'person', 'the same, small'],
];

/** Who may open an address, or undefined where it is not in the list. */
export function accessTo(method: string, url: string): Access | undefined {
  return addresses.find(([m, u]) => m === method && u === url)?.[2];
}

/** The methods that the address of a path takes, HEAD beside GET; empty where the list has no such address. */
export function methodsAt(path: string): string[] {
  const taken = patterns.filter(({ pattern }) => pattern.test(path)).map(({ method }) => method);
  return [...new Set(taken.flatMap((method) => (method === 'GET' ? ['GET', 'HEAD'] : [method])))];
}

const patterns = addresses.map(([method, url]) => ({
  method,
  pattern: new RegExp(`^${url.replaceAll('.', '\\.').replaceAll('*', '.+').replace(/:\w+/g, '[^/]+')}$`),
}));
