import { mkdirSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { foldJob } from '../../src/logbook/job-log.js';
import { recordDocument } from '../../src/record/document.js';
import { drawPdf } from '../../src/record/draw-pdf.js';
import { assess } from '../../src/steps/assess.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { filesIn, runTool } from '../record/outside-tool.js';
import { photoBytes, sampleJob } from '../record/sample-job.js';
import { sampleInput } from '../record/sample-record.js';
import { played } from '../steps/played.js';

/** Pictures of every page at 100 dpi, kept in `.test-output/pages` for whoever looks. */
const kept = new URL('../../.test-output/pages/', import.meta.url).pathname;

test.each(['imperial', 'metric'] as const)(
  'every page of the demonstration in %s units is a picture to look at',
  async (units) => {
    const circuit = demoCircuit();
    await sampleJob();
    const pictures = [...photoBytes.values()];
    const facts = { ...sampleInput, units };
    const record = recordDocument(assess(foldJob(played(circuit)))!, facts);
    const pdf = await drawPdf(record, () => pictures[0], []);
    const folder = join(kept, units);
    rmSync(folder, { recursive: true, force: true });
    mkdirSync(folder, { recursive: true });
    const path = filesIn({ pdf }).pdf;
    const { code } = runTool('pdftoppm', ['-r', '100', '-png', path, join(folder, 'page')]);
    const count = Number(/^Pages:\s+(\d+)$/m.exec(runTool('pdfinfo', [path]).text)?.[1]);
    expect(code).toBe(0);
    expect(readdirSync(folder)).toHaveLength(count);
  },
);
