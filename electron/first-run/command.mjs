/** Starts another program in our place, and speaks to the person at the terminal. */
import { spawn } from 'node:child_process';
import { constants } from 'node:os';

/** One line to the person, on stderr: the standard output belongs to the command. @param {string} line */
export function say(line) {
  process.stderr.write(`stagecall: ${line}\n`);
}

/**
 * Runs a program to its end with our standard streams, passing signals on to it.
 *
 * @param {string} program
 * @param {readonly string[]} args
 * @param {import('node:child_process').SpawnOptions} [options]
 * @param {(pid: number) => void} [started] told the process id once it runs
 * @returns {Promise<number>} its exit code; 128 + the signal's number when a signal ended it, as shells report it; 127 when it could not start
 */
export function runCommand(program, args, options = {}, started = () => {}) {
  return new Promise((resolve) => {
    const child = spawn(program, args, { stdio: 'inherit', ...options });
    /** @type {(signal: NodeJS.Signals) => void} */
    const passOn = (signal) => {
      // Ctrl-C in a terminal already reaches every process of the foreground group; a second one would mean "at once".
      if (signal === 'SIGINT' && process.stdin.isTTY) return;
      child.kill(signal);
    };
    const signals = /** @type {const} */ (['SIGINT', 'SIGTERM', 'SIGHUP']);
    for (const signal of signals) process.on(signal, passOn);
    /** @param {number} exitCode */
    const finish = (exitCode) => {
      for (const signal of signals) process.off(signal, passOn);
      resolve(exitCode);
    };
    child.once('error', (error) => {
      say(`could not run ${program} (${error.message}).`);
      finish(127);
    });
    child.once('exit', (code, signal) => finish(code ?? 128 + (signal ? constants.signals[signal] : 0)));
    if (child.pid !== undefined) started(child.pid);
  });
}
