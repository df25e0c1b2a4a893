// Installs what the tests check the product against, through Debian's package manager, where this account may; says what is
// missing where it may not. The tests themselves say which tool they need when they run without it. With --long, those of the long
// tests as well.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

const tools = [
  { command: 'chromium', package: 'chromium' },
  { command: 'pdftotext', package: 'poppler-utils' },
  { command: 'pdfsig', package: 'poppler-utils' },
  { command: 'qpdf', package: 'qpdf' },
  { command: 'ngspice', package: 'ngspice' },
  { command: 'openssl', package: 'openssl' },
  ...(process.argv.includes('--long')
    ? [
        { command: 'strace', package: 'strace' },
        { command: 'javac', package: 'openjdk-17-jdk-headless' },
        { file: '/usr/share/java/bcpkix.jar', package: 'libbcpkix-java' },
        { file: '/usr/share/java/preflight.jar', package: 'libpdfbox2-java' },
        { file: '/usr/share/java/commons-logging.jar', package: 'libcommons-logging-java' },
        { file: '/usr/share/java/javax.activation.jar', package: 'libactivation-java' },
        { file: '/usr/share/java/jaxb-api.jar', package: 'libjaxb-api-java' },
        { file: '/usr/share/java/jaxb-runtime.jar', package: 'libjaxb-java' },
      ]
    : []),
];

const has = (command) => spawnSync('sh', ['-c', `command -v ${command}`]).status === 0;
const missing = () =>
  tools.filter((tool) => (tool.file === undefined ? !has(tool.command) : !existsSync(tool.file)));

let wanted = [...new Set(missing().map((tool) => tool.package))];
if (wanted.length > 0 && has('apt-get')) {
  const asRoot = process.getuid?.() === 0 ? [] : has('sudo') ? ['sudo', '-n'] : undefined;
  if (asRoot !== undefined) {
    console.log(`Installing for the tests: ${wanted.join(', ')}`);
    const run = (...args) => {
      const [command, ...rest] = [...asRoot, 'env', 'DEBIAN_FRONTEND=noninteractive', 'apt-get', ...args];
      return spawnSync(command, rest, { stdio: ['ignore', 'ignore', 'inherit'] });
    };
    run('update', '-qq');
    run('install', '-y', '-qq', '--no-install-recommends', ...wanted);
  }
}

wanted = missing();
for (const tool of wanted) {
  console.error(
    `Missing: ${tool.command ?? tool.file} (Debian package ${tool.package}). Install it, then run the tests again.`,
  );
}
if (wanted.length > 0) process.exit(1);
