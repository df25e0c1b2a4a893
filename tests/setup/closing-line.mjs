// Adds up the runner's result files and prints the one line that says how the run ended.
import { readFileSync } from 'node:fs';

let passed = 0;
let failed = 0;
let skipped = 0;
for (const file of process.argv.slice(2)) {
  const result = JSON.parse(readFileSync(file, 'utf8'));
  passed += result.numPassedTests;
  failed += result.numFailedTests;
  skipped += result.numPendingTests + result.numTodoTests;
}
console.log(`${passed} passed, ${failed} failed, ${skipped} skipped`);
process.exit(failed > 0 || passed === 0 ? 1 : 0);
