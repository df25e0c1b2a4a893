#!/usr/bin/env node
import { readFile, writeFile } from 'node:fs/promises';
import { runCommand } from './run-command.js';

process.exitCode = await runCommand(process.argv.slice(2), {
  out: (line) => void process.stdout.write(`${line}\n`),
  err: (line) => void process.stderr.write(`${line}\n`),
  readFile: (path) => readFile(path, 'utf8'),
  readBytes: (path) => readFile(path),
  writeBytes: (path, bytes) => writeFile(path, bytes, { flush: true }),
});
