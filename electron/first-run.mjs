/**
 * What every `npm` command of this project runs first: `start`, `test`, `bench` and `lab`.
 *
 * It installs what is missing, finds a Node that the database addon can load in, builds what is out of date, and then
 * hands over to the command itself. It uses nothing but Node (18 or newer), since nothing is installed yet when it is
 * first needed, and it writes only to stderr, since the standard output belongs to the command.
 */
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { buildWhenStale } from './first-run/build.mjs';
import { runCommand, say } from './first-run/command.mjs';
import { installWhenStale } from './first-run/install.mjs';
import { chooseNode, whatToInstall } from './first-run/node.mjs';

const root = path.dirname(path.dirname(fileURLToPath(import.meta.url)));

/** Each command: the file that does the work, and whether it needs the built window. (`test` builds as one of its own steps.) */
const tasks = {
  start: { file: 'electron/start.ts', built: true },
  test: { file: 'tests/run.ts', built: false },
  bench: { file: 'tests/bench/run.ts', built: true },
  lab: { file: 'electron/lab.ts', built: false },
};

/** @param {string[]} args the command's name and its own arguments @returns {Promise<number>} the exit code */
async function firstRun([name = '', ...args]) {
  const task = Object.hasOwn(tasks, name) ? tasks[/** @type {keyof typeof tasks} */ (name)] : undefined;
  if (!task) {
    say(`there is no command "${name}". Commands: ${Object.keys(tasks).join(', ')}.`);
    return 2;
  }
  const install = await installWhenStale(root);
  if (!install.ok) return install.exitCode;
  const node = chooseNode(root, process);
  if (!node) {
    say(whatToInstall(process.version));
    return 1;
  }
  if (task.built) {
    const exitCode = await buildWhenStale(root, node);
    if (exitCode !== 0) return exitCode;
  }
  // The command may rely on `dist/` only where it was just seen to be up to date.
  const env = { ...process.env, STAGECALL_BUILT: task.built ? 'yes' : 'no' };
  return runCommand(node.path, [...node.flags, path.join(root, task.file), ...args], { env });
}

try {
  process.exitCode = await firstRun(process.argv.slice(2));
} catch (error) {
  say(`${error instanceof Error ? error.message : error}. Is this folder complete, and may you write in it?`);
  process.exitCode = 1;
}
