import type { FastifyInstance } from 'fastify';
import type { Issue } from '../../errors.js';
import type { TimeZone } from '../../logbook/time-zone.js';
import type { ListedJob } from '../../store/job-lines.js';
import { type JobState, jobStates } from '../../store/job-search.js';
import { overLong } from '../page/form.js';
import { render } from '../page/page.js';
import type { Services } from '../services.js';
import { dayOf, jobPath } from '../words/job-words.js';

const pageLength = 20;

/** The states in words, in the order in which the list offers them. */
const stateWords: Readonly<Record<JobState, string>> = {
  open: 'Open',
  held: 'Held: a defect is open, or no step can be done',
  issued: 'Record issued',
  'in-question': 'In question: work went on after the record',
  'set-aside': 'Set aside',
  closed: 'Closed',
};

/**
 * `/`: the jobs, the one written on last first, with their stage in words and what is next. What is searched for stands
 * in the address (`?q=…&state=…`), and so does the place in the list (`&before=<time>_<number>`).
 */
export function registerJobList(app: FastifyInstance, { store }: Services): void {
  app.get<{ Querystring: Record<string, unknown> }>('/', async (request, reply) => {
    const asked = read(request.query);
    const found =
      asked.issues.length > 0 ? { jobs: [], more: false } : store.lines.find({ ...asked, limit: pageLength });
    const { zone } = store.shop.state();
    const last = found.jobs.at(-1);
    const model = {
      title: 'Jobs',
      labels: { q: 'Words', state: 'State', before: 'The place in the list' },
      jobs: found.jobs.map((job) => jobModel(job, zone)),
      searching: asked.words !== '' || asked.state !== undefined,
      behind: asked.before !== undefined,
      states: Object.entries(stateWords).map(([value, label]) => ({ value, label })),
      pending: store.lines.pending(),
      older: found.more && last !== undefined ? address(asked, `${last.at}_${last.number}`) : undefined,
      newest: address(asked),
    };
    const typed = { q: asked.words, state: asked.typedState };
    return render(reply, 'jobs', model, {
      typed,
      issues: asked.issues,
      status: asked.issues.length > 0 ? 422 : 200,
    });
  });
}

type Asked = ReturnType<typeof read>;

/** What the address asks for; what cannot be read is said beside its field and kept. */
function read(query: Record<string, unknown>) {
  const text = (name: string) => {
    const value = query[name];
    return typeof value === 'string' ? value : '';
  };
  const words = text('q').trim();
  const issues: Issue[] = overLong('q', words, 100);
  const typedState = text('state');
  const state = Object.hasOwn(jobStates, typedState) ? (typedState as JobState) : undefined;
  if (typedState !== '' && state === undefined)
    issues.push({ field: 'state', message: 'choose one of the list' });
  const [, at = '', job = ''] =
    /^(\d{4}-\d\d-\d\dT[\d:.]{8,12}Z)_([A-Za-z0-9-]{1,40})$/.exec(text('before')) ?? [];
  if (text('before') !== '' && at === '')
    issues.push({ field: 'before', message: 'is none of this list; begin at the newest again' });
  return { words, typedState, state, before: at === '' ? undefined : { at, job }, issues };
}

function address({ words, state }: Asked, before?: string): string {
  const query = new URLSearchParams({
    ...(words === '' ? {} : { q: words }),
    ...(state === undefined ? {} : { state }),
    ...(before === undefined ? {} : { before }),
  }).toString();
  return query === '' ? '/' : `/?${query}`;
}

function jobModel({ number, at, line }: ListedJob, zone: TimeZone) {
  const facts = [number, line.plate, line.owner, line.place, `last entry ${dayOf(at, zone)}`];
  const record = line.revision === 0 ? '' : `revision ${line.revision} issued`;
  return {
    href: jobPath(number),
    vehicle: line.vehicle || `Job ${number}`,
    standing: line.standing,
    reason: line.reason,
    facts: facts.filter((fact) => fact !== '').join(' · '),
    record: line.inQuestion ? `${record}, and work went on after it` : record,
    stage: line.stage,
    openDefects: line.openDefects,
    next: line.next && { title: line.next.title, href: jobPath(number, ...line.next.path) },
  };
}
