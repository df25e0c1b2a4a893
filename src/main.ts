#!/usr/bin/env -S node --max-semi-space-size=8
// What a page leaves behind is swept up after 8 MB, not 16: a server holds some 20 MB less, and is as quick. Node takes that only at its start.
import { readFile, writeFile } from 'node:fs/promises';
import { setFlagsFromString } from 'node:v8';
import { askSecret } from './command-line/ask-secret.js';
import { runCommand } from './run-command.js';

// The heap is looked through when half as much again lies in it as lives in it, not four times as much. Of 186 MB that a server held after
// 1,500 pages of a long job 28 were alive; so it holds 151, for a twenty-fifth more work. Read at every collection, by every thread.
setFlagsFromString('--heap-growing-percent=50');

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
  writeBytes: (path, bytes) => writeFile(path, bytes, { flush: true }),
  ...(process.stdin.isTTY && {
    askSecret: (question) => askSecret(question, process.stdin, (text) => void process.stderr.write(text)),
  }),
});
