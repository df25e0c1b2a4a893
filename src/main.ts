#!/usr/bin/env node
import { readFile, writeFile } from 'node:fs/promises';
import { askSecret } from './command-line/ask-secret.js';
import { runCommand } from './run-command.js';

// Whoever reads may stop reading (`… | head`): the command goes on and keeps its exit code.
for (const stream of [process.stdout, process.stderr])
  stream.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
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
