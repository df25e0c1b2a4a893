#!/usr/bin/env -S MALLOC_ARENA_MAX=1 MALLOC_TRIM_THRESHOLD_=1000000 node --max-semi-space-size=4
// What the system and Node take only at a process's start: all threads take from one store outside the heap, not each from its own; what is
// let go of there goes back at once; and what a page leaves behind is swept up after 4 MB, not 16.
import { readFile } from 'node:fs/promises';
import { setFlagsFromString } from 'node:v8';
import { askSecret } from './command-line/ask-secret.js';
import { writeNew } from './command-line/write-out.js';
import { runCommand } from './run-command.js';

// The heap is looked through when a quarter as much again lies in it as lives in it, not four times as much. With the first line a server of
// 100,000 jobs holds 167 MB after 15,000 pages, where half as much again, 8 MB and a store for each thread left 231; a page or a saved
// form costs one to four hundredths more. Read at every collection, by every thread.
setFlagsFromString('--heap-growing-percent=25');

// Whoever reads may stop reading (`… | head`): the command goes on and keeps its exit code.
for (const stream of [process.stdout, process.stderr])
  stream.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code === 'EPIPE') return;
    if (stream === process.stdout)
      process.stderr.write(`What is printed cannot be written: ${error.message}\n`);
    process.exit(1);
  });

process.exitCode = await runCommand(process.argv.slice(2), {
  out: (line) => void process.stdout.write(`${line}\n`),
  err: (line) => void process.stderr.write(`${line}\n`),
  readFile: (path) => readFile(path, 'utf8'),
  readBytes: (path) => readFile(path),
  writeBytes: writeNew,
  ...(process.stdin.isTTY && {
    askSecret: (question) => askSecret(question, process.stdin, (text) => void process.stderr.write(text)),
  }),
});
