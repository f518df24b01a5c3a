// Runs test files in one process: `node --import ./tests/node/environment.mjs tests/node/one_process.mjs FILES`.
// A process for each file takes longer to start than a file of pure functions takes to run.
import { pathToFileURL } from 'node:url';
import process from 'node:process';

for (const file of process.argv.slice(2)) await import(pathToFileURL(file).href);
