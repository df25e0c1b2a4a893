import type { FastifyInstance } from 'fastify';
import { sheetGroups, verdictWords } from '../../circuit/sheet-line.js';
import type { UnitSystem } from '../../circuit/units.js';
import { unitsFirst } from '../../circuit/units-first.js';
import { AppError } from '../../errors.js';
import type { SheetStanding } from '../../steps/assessment.js';
import type { AcceptContext } from '../../steps/proposal.js';
import { sourceText } from '../../trade/source.js';
import { askerOf, type WorkAt, workAt } from '../job/job-at.js';
import { concessionOf, writeReason } from '../job/reason.js';
import { renderKept } from '../page/kept-page.js';
import { goTo, renderIssues } from '../page/page.js';
import type { Services } from '../services.js';
import { concessionForm } from '../step/concession.js';
import { jobPath, reasonText } from '../words/job-words.js';
import { limitWords } from '../words/sheet-words.js';
import { typedIn } from '../words/typed-in.js';
import { type Said, wordsOfPage } from '../words/word-links.js';
import { drawPlacement, drawProfile } from './sheet-drawing.js';
import { loadsOn, tryLoadsModel } from './try-loads-model.js';

/** `/jobs/:job/sheet`: every line that is computed before cutting, what misses its limit first, and who may concede it. */
export function registerSheetPage(app: FastifyInstance, services: Services): void {
  const units = () => services.store.shop.state().units;

  app.get('/jobs/:job/sheet', async (request, reply) => {
    const at = workAt(services, request);
    return renderKept(reply, services, at.log, 'sheet', () =>
      sheetModel(at, askerOf(request, services), units(), loadsOn(request.query)),
    );
  });

  app.post<{ Params: { job: string; line: string } }>(
    '/jobs/:job/sheet/:line/concession',
    async (request, reply) => {
      const at = workAt(services, request);
      const { line } = request.params;
      if (!at.job.sheet.some((s) => s.line.id === line))
        throw new AppError('not-found', 'The sheet has no such line.');
      const act = concessionOf(at.number, `sheet:${line}`, `reason.${line}`);
      const issues = await writeReason(request, services, act);
      if (issues.length > 0)
        return renderIssues(reply, 'sheet', sheetModel(at, askerOf(request, services), units()), issues);
      return goTo(
        reply,
        jobPath(at.number, 'sheet'),
        'The concession is in the logbook and will be printed on page one.',
      );
    },
  );
}

function sheetModel(at: WorkAt, asker: AcceptContext, units: UnitSystem, on: readonly string[] = []) {
  const { job, number, log, zone } = at;
  const say = wordsOfPage(typedIn(job.circuit));
  const line = (s: SheetStanding) =>
    lineModel(s, { number, zone }, units, concessionForm(s.line.concession, log, asker), say);
  const missed = job.sheet.filter((s) => !s.met);
  return {
    title: 'The sheet',
    labels: Object.fromEntries(job.sheet.map((s) => [`reason.${s.line.id}`, `Concession, ${s.line.title}`])),
    wide: true,
    backTo: 'job',
    circuit: jobPath(number, 'circuit'),
    missed: missed.map(line),
    tried: tryLoadsModel(job.circuit, on, { action: jobPath(number, 'sheet') }),
    profile: drawProfile(job.circuit, units),
    placement: drawPlacement(job.circuit, units),
    groups: sheetGroups
      .map((group) => ({
        ...group,
        lines: job.sheet.filter((s) => s.line.group === group.id && s.met).map(line),
      }))
      .filter((group) => group.lines.length > 0),
    next:
      missed.length > 0
        ? undefined
        : job.next && {
            title: `${job.next.step.number} ${job.next.step.title}`,
            href: jobPath(number, 'steps', job.next.step.id),
          },
  };
}

function lineModel(
  { line, met, concession }: SheetStanding,
  { number, zone }: Pick<WorkAt, 'number' | 'zone'>,
  units: UnitSystem,
  form: ReturnType<typeof concessionForm>,
  say: (text: string) => Said,
) {
  return {
    id: line.id,
    title: line.title,
    // What is behind the panel is the person's own words, and stays as they were written.
    value: line.id === 'inlet.panel' ? line.value : say(unitsFirst(line.value, units)),
    limit: line.limit && say(limitWords(line, units)),
    verdict: concession !== undefined ? 'conceded' : line.verdict,
    word: concession !== undefined ? 'conceded' : verdictWords[line.verdict],
    sources: line.sources.map(sourceText),
    mend: met ? '' : say(unitsFirst(line.mend, units)),
    formula: say(unitsFirst(line.formula, units)),
    conceded: concession && reasonText(concession, zone),
    action: jobPath(number, 'sheet', line.id, 'concession'),
    concede: met ? undefined : form,
  };
}
