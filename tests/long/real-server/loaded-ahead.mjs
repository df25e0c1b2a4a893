// The compiled server with its modules loaded ahead: it waits for a word on the standard input and is then the program as it is,
// under the arguments that it was started with. So a test that starts it a hundred times does not wait for the loading.
import { once } from 'node:events';

await import('../../../dist/command-line/serve-command.js');
await once(process.stdin, 'data');
process.stdin.destroy();
await import('../../../dist/main.js');
